package common

import (
	"tuckring/internal/figure"
)

// Palette is the marks of a figure's colours in the palette's order.
func Palette(f *figure.Figure) []Mark {
	marks := MarksOf(f)
	out := make([]Mark, len(f.Colours))
	for i, c := range f.Colours {
		out[i] = marks[c.ID]
	}
	return out
}

// hatches are patterns that tell colours apart in black and white, on a field of 20 × 20; the first
// twelve colours of a palette each have their own.
var hatches = [12]string{
	"",
	"M-2 12 12 -2M-2 22 22 -2M8 22 22 8",
	"M-2 8 12 22M-2 -2 22 22M8 -2 22 12",
	"M0 4H20M0 10H20M0 16H20",
	"M4 0V20M10 0V20M16 0V20",
	"M0 6H20M0 14H20M6 0V20M14 0V20",
	"M0 0 20 20M20 0 0 20M10 0 20 10 10 20 0 10Z",
	"M5 4v2M15 4v2M10 9v2M5 14v2M15 14v2",
	"M0 7 5 2 10 7 15 2 20 7M0 17 5 12 10 17 15 12 20 17",
	"M10 3 17 10 10 17 3 10Z",
	"M4 10a6 6 0 1 0 12 0a6 6 0 1 0 -12 0",
	"M10 3V17M3 10H17",
}

func hatch(number int) string { return hatches[number%len(hatches)] }

// Mark is how a colour is told apart, on screen and in black and white: its sign, name and colour.
type Mark struct {
	ID, Sign, Name, Hex string
	Number              int // place in the palette, from 0
}

// Marks are the marks of a figure's colours, by the colour's ID.
type Marks map[string]Mark

func MarksOf(f *figure.Figure) Marks {
	signs := f.Signs()
	m := make(Marks, len(f.Colours))
	for i, c := range f.Colours {
		m[c.ID] = Mark{c.ID, signs[i], c.Name, c.Hex, i}
	}
	return m
}
