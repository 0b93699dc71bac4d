package guide

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Parts: where each starts, in words that can be found on the paper, how it is bent and fixed.

// partOf gives the part that a row belongs to, nil in a figure of one part.
func partOf(f *figure.Figure, row int) *figure.Part {
	if len(f.Parts) == 0 {
		return nil
	}
	return &f.Parts[f.PartOf(row)]
}

// starts says where a part begins and what to know before its first row.
func starts(f *figure.Figure, part *figure.Part) []Line {
	units := 0
	for _, r := range f.Rings[part.First : part.First+part.Rows] {
		units += len(r.Cells)
	}
	lines := []Line{{Know, words.T("guide.part", "Part", part.Name, "Units", words.T("figure.units", "Count", units))}}
	if i, ok := f.PartIndex(part.Twin); ok {
		lines = append(lines, Line{Know, words.T("guide.part.twin", "Part", f.Parts[i].Name)})
	}
	if part.Set != nil {
		lines = append(lines, settled(f, part.Set)...)
	} else {
		lines = append(lines, grows(f, part)...)
	}
	return append(lines, bends(part)...)
}

// Starts says where a part, by its index, begins or is put on, and how it is bent: nothing of the one on the table.
func Starts(f *figure.Figure, part int) []Line {
	if part == 0 || part >= len(f.Parts) {
		return nil
	}
	return starts(f, &f.Parts[part])[1:]
}

// settled says where and how a part that is made by itself is put on.
func settled(f *figure.Figure, set *figure.Setting) []Line {
	on, _ := f.RingIndex(set.On)
	at := words.T("guide.set.centre")
	if !set.Centred {
		at = place(set.At, len(f.Rings[on].Cells))
	}
	key := "guide.set.glued"
	if set.How == figure.PushedOn {
		key = "guide.set.pushed"
	}
	lines := []Line{{Do, words.T(key, "Place", at, "Ring", f.RowName(on))}}
	switch tilt := degrees(set.Tilt); {
	case tilt > 0:
		lines = append(lines, Line{Do, words.T("guide.set.tilt.out", "Degrees", tilt)})
	case tilt < 0:
		lines = append(lines, Line{Do, words.T("guide.set.tilt.in", "Degrees", -tilt)})
	}
	if set.How == figure.GluedOn {
		lines = append(lines, Line{Caution, words.T("guide.caution.glue")})
	}
	return lines
}

// grows says on which points of which ring a part begins.
func grows(f *figure.Figure, part *figure.Part) []Line {
	first, foot := &f.Rings[part.First], f.Footing(part.First)
	taken, free := first.Points()
	unit, side, _ := foot.Owner(first.Start)
	key := "guide.grow.left"
	switch {
	case side == 1 && free > 0:
		key = "guide.grow.right.free"
	case side == 1:
		key = "guide.grow.right"
	case free > 0:
		key = "guide.grow.left.free"
	}
	lines := []Line{{Do, words.T(key, "Ring", f.RowName(foot.Ring()), "Unit", unit+1,
		"Points", words.T("figure.points", "Count", taken), "Free", words.T("figure.points", "Count", free))}}
	if part.Rows > 1 && !part.Open {
		lines = append(lines, Line{Do, words.T("guide.grow.closes")})
	}
	if part.Rows > 1 && isChain(f, part) {
		lines = append(lines, Line{Know, words.T("guide.grow.chain")})
	}
	return lines
}

// isChain says whether each row of a part is one unit.
func isChain(f *figure.Figure, part *figure.Part) bool {
	for i := range part.Rows {
		if len(f.Rings[part.First+i].Cells) != 1 {
			return false
		}
	}
	return part.Open
}

// bends says, from the first row up, which rows lean how far against the one below.
func bends(part *figure.Part) (lines []Line) {
	from := 1
	for _, b := range part.Bend {
		to := min(from+b.Rows-1, part.Rows)
		if to < from {
			break
		}
		add := func(out, back string, by float64) {
			switch by = degrees(by); {
			case by > 0:
				lines = append(lines, Line{Do, words.T(out, "From", from, "To", to, "Degrees", by)})
			case by < 0:
				lines = append(lines, Line{Do, words.T(back, "From", from, "To", to, "Degrees", -by)})
			}
		}
		add("guide.bend.out", "guide.bend.in", b.Out)
		add("guide.bend.right", "guide.bend.left", b.Right)
		from = to + 1
	}
	return lines
}

// degrees are to the half, as near as a hand can tell them.
func degrees(d float64) float64 { return math.Round(2*d) / 2 }
