// Package sight tells which papers of a figure can be told apart, by eye and by colour-blind eyes, and what can be
// seen on a paper: the ink of its sign and its outline.
//
// Colour differences are CIEDE2000 (CIE 142-2001), checked in the tests against the pairs of Sharma, Wu
// and Dalal 2005. Colour blindness is simulated after Machado, Oliveira and
// Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE
// Transactions on Visualization and Computer Graphics 15(6), 2009, at full severity, on linear sRGB.
package sight

import (
	"sort"

	"github.com/lucasb-eyer/go-colorful"

	"tuckring/internal/figure"
)

// TooClose is the difference (ΔE00) below which two neighbouring papers are warned of (the house's
// own choice: well above the just noticeable difference of about 1, since folded paper lies in light
// and shade).
const TooClose = 10.0

// Vision is a way of seeing colours.
type Vision string

// The ways of seeing that are looked at: full colour, and without the medium or the long cones.
const (
	Full         Vision = "full"
	Deuteranopia Vision = "deuteranopia"
	Protanopia   Vision = "protanopia"
)

// Visions is every way of seeing that is looked at, full colour first.
var Visions = []Vision{Full, Deuteranopia, Protanopia}

// matrices are those that Machado, Oliveira and Fernandes give for severity 1.0 of protanomaly and
// deuteranomaly in the tables published with their paper of 2009 (doi 10.1109/TVCG.2009.113), digit for
// digit as the library colorspacious (cvd.py) keeps them; rows red, green, blue, on linear light.
var matrices = map[Vision][3][3]float64{
	Protanopia: {
		{0.152286, 1.052583, -0.204868},
		{0.114503, 0.786281, 0.099216},
		{-0.003882, -0.048116, 1.051998},
	},
	Deuteranopia: {
		{0.367322, 0.860646, -0.227968},
		{0.280085, 0.672501, 0.047413},
		{-0.011820, 0.042940, 0.968881},
	},
}

// As gives a colour as it looks to the given eyes, clipped to what can be shown.
func (v Vision) As(c colorful.Color) colorful.Color {
	m, ok := matrices[v]
	if !ok {
		return c
	}
	r, g, b := c.LinearRgb()
	out := [3]float64{}
	for i, row := range m {
		out[i] = row[0]*r + row[1]*g + row[2]*b
	}
	return colorful.LinearRgb(out[0], out[1], out[2]).Clamped()
}

// Pair is two papers that touch in a figure and look too much alike.
type Pair struct {
	A, B       int     // indices into the figure's colours, A < B
	Vision     Vision  // the first way of seeing that cannot tell them apart
	Difference float64 // ΔE00, seen so
	Touching   int     // how many times a unit of one touches a unit of the other
}

// Alike finds the papers that touch in the figure and look too much alike, those that touch most
// first. Units touch when they stand side by side in a ring or share points.
func Alike(f *figure.Figure) []Pair {
	touching := neighbours(f)
	seen := make(map[Vision][]Lab, len(Visions))
	for _, v := range Visions {
		seen[v] = make([]Lab, len(f.Colours))
		for i, c := range f.Colours {
			seen[v][i] = LabOf(v.As(Paper(c)))
		}
	}
	var out []Pair
	for a := range f.Colours {
		for b := a + 1; b < len(f.Colours); b++ {
			if touching[a][b] == 0 {
				continue
			}
			for _, v := range Visions {
				if d := Difference(seen[v][a], seen[v][b]); d < TooClose {
					out = append(out, Pair{A: a, B: b, Vision: v, Difference: d, Touching: touching[a][b]})
					break
				}
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Touching > out[j].Touching })
	return out
}

// Paper gives the colour of a paper; the figure's own rules make sure it is one.
func Paper(c figure.Colour) colorful.Color {
	out, _ := colorful.Hex(c.Hex)
	return out
}

// neighbours counts how often two colours touch: [a][b] with a < b.
func neighbours(f *figure.Figure) [figure.MaxColours][figure.MaxColours]int {
	var n [figure.MaxColours][figure.MaxColours]int
	touch := func(a, b uint8) {
		n[min(a, b)][max(a, b)]++
	}
	for i := range f.Rings {
		cells := f.Rings[i].Cells
		for k := range cells {
			touch(cells[k].Colour, cells[(k+1)%len(cells)].Colour)
		}
		foot, last := f.Footing(i), -1
		for point, owner := range foot.TakenBy(&f.Rings[i]) {
			if owner < 0 {
				last = -1
				continue
			}
			unit, _, _ := foot.Owner(point)
			if pair := unit*len(cells) + owner; pair != last { // both points of one unit count once
				touch(f.Rings[foot.Ring()].Cells[unit].Colour, cells[owner].Colour)
				last = pair
			}
		}
	}
	return n
}
