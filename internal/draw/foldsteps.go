package draw

import (
	"math"

	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// FoldStep draws one step of folding a unit into a frame of the given size in mm: the paper with the
// lines to fold along, all towards the maker, an arrow, and what it becomes. The coloured side is
// tinted, the plain side white. A valley fold is dashed, as is usual in folding diagrams.
func FoldStep(st fold.Folding, width, height float64, say *words.Speaker) *Drawing {
	d := NewDrawing(width, height, say.Say(st.Text))
	if len(st.Lines) > 0 && sameFaces(st.Before, st.After) { // a mark changes nothing that can be seen
		foldedAt(d, st.After, st.Lines, width/2, height/2, scaleOf(st.After, width*0.6, height))
		return d
	}
	const arrow = 9.0
	half := (width - arrow) / 2
	scale := math.Min(scaleOf(st.Before, half, height), scaleOf(st.After, half, height))
	foldedAt(d, st.Before, st.Lines, half/2, height/2, scale)
	foldedAt(d, st.After, nil, width-half/2, height/2, scale)
	stepArrow(d, half+arrow/2, height/2, st.Turned && len(st.Lines) == 0)
	return d
}

func sameFaces(a, b []fold.Face) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i].Outline) != len(b[i].Outline) || a[i].Coloured != b[i].Coloured {
			return false
		}
		for k := range a[i].Outline {
			if a[i].Outline[k] != b[i].Outline[k] {
				return false
			}
		}
	}
	return true
}

func extent(faces []fold.Face) (lo, hi fold.Pt) {
	lo, hi = fold.Pt{X: math.Inf(1), Y: math.Inf(1)}, fold.Pt{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, f := range faces {
		for _, p := range f.Outline {
			lo = fold.Pt{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}
			hi = fold.Pt{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

func scaleOf(faces []fold.Face, width, height float64) float64 {
	lo, hi := extent(faces)
	return 0.92 * math.Min(width/(hi.X-lo.X), height/(hi.Y-lo.Y))
}

// foldedAt draws folded paper with its middle at x, y.
func foldedAt(d *Drawing, faces []fold.Face, lines []fold.Segment, x, y, scale float64) {
	lo, hi := extent(faces)
	at := func(p fold.Pt) Point {
		return Point{x + (p.X-(lo.X+hi.X)/2)*scale, y - (p.Y-(lo.Y+hi.Y)/2)*scale}
	}
	for _, f := range faces {
		points := make([]Point, len(f.Outline))
		for i, p := range f.Outline {
			points[i] = at(p)
		}
		fill := white
		if f.Coloured {
			fill = paperTint
		}
		d.Add((&Path{}).Polygon(points...), Paint{Fill: fill, Stroke: ink, Line: 0.25})
	}
	dashes := &Path{}
	for _, s := range lines {
		a, b := at(s.A), at(s.B)
		dashes.Move(a.X, a.Y).Line(b.X, b.Y)
	}
	d.Add(dashes, Paint{Stroke: accent, Line: 0.45, Dashes: []float64{1.4, 1}})
}

var paperTint = mustHex("#a9cfcd")

// stepArrow points from before to after; when the paper is turned over it loops.
func stepArrow(d *Drawing, x, y float64, over bool) {
	p := &Path{}
	if over {
		p.Move(x-3, y).Curve(x-1, y, x+1.6, y-1, x+1.2, y-2.6).Curve(x+0.8, y-4, x-1.6, y-3.6, x-1.2, y-2).Curve(x-1, y-0.4, x+1, y, x+3, y)
	} else {
		p.Move(x-3, y).Line(x+3, y)
	}
	p.Move(x+1.6, y-1.2).Line(x+3, y).Line(x+1.6, y+1.2)
	d.Add(p, Paint{Stroke: accent, Line: 0.45})
}
