package fold

import (
	"math"
	"sort"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// MaxTucks is how many tucks of the flap a pattern shows. A flap that needs more (longer than four
// legs) is a strip to be cut shorter, not to be folded.
const MaxTucks = 2

// Direction of a crease as seen on the side of the sheet that lies up at the start (the plain side;
// the coloured one lies on the table).
type Direction bool

// A valley fold brings the paper towards the viewer, a mountain fold away.
const (
	Valley   Direction = true
	Mountain Direction = false
)

func (d Direction) String() string {
	if d == Valley {
		return "valley"
	}
	return "mountain"
}

// Stage is where a facet lies after a step.
type Stage struct {
	Motion Isometry // from the flat sheet to the folded paper
	Layer  int      // higher lies above lower, where facets overlap
}

// Facet is a piece of the sheet between creases. Sheet is its convex outline, counterclockwise, in mm
// on the flat sheet; Stages[k] is where it lies after step k, Stages[0] flat on the table.
type Facet struct {
	Sheet  []Pt
	Stages []Stage
}

// At is the facet's outline after step k, in mm.
func (f Facet) At(k int) []Pt {
	out := make([]Pt, len(f.Sheet))
	for i, p := range f.Sheet {
		out[i] = f.Stages[k].Motion.Apply(p)
	}
	return out
}

// Crease is a straight piece of a fold on the flat sheet, between two facets.
type Crease struct {
	A, B      Pt
	Direction Direction
	Step      int // number of the step that folds it
}

// Face is one layer of paper as it is seen: its outline in mm and which side of the paper shows.
type Face struct {
	Outline  []Pt
	Coloured bool // the side that lay on the table at the start
}

// Segment is a straight piece of a line, in mm.
type Segment struct{ A, B Pt }

// Move is what a step does to the paper, for an arrow: a place of it and where that comes to lie, in mm as the step's lines.
type Move struct {
	From, To Pt
	Back     bool // the paper is opened again: only a crease stays
	Again    int  // so many times more elsewhere, as on the other side
}

// Folding is one step of making the unit, for an illustration. Outlines and lines are as the maker sees
// them: when Turned, the paper has been turned over, left and right are exchanged and the lowest
// layer is now the highest. Faces are in painter's order, lowest first; x runs to the right from the
// middle of the strip, y up from the base line.
type Folding struct {
	Number int
	Name   string // "double", "mark", "ends", "turn", "tuck", "corners", "flaps", "half"
	Text   words.Text
	Turned bool
	Before []Face
	Lines  []Segment // the lines folded in this step, on Before; all fold towards the maker
	Moves  []Move    // none where the paper is turned over
	Marks  []Segment // creases that are there already and can be seen, on Before
	After  []Face
}

// Pattern is the complete crease pattern of a unit and its folding. The sheet is LongMM wide in x,
// with x = 0 in its middle, and ShortMM high in y from 0.
type Pattern struct {
	Measures Measures
	Facets   []Facet
	Creases  []Crease
	Steps    []Folding
}

// folding carries a unit through its steps.
type folding struct {
	m     Measures
	paper stack
	steps []Folding
}

// NewPattern folds a unit of the given paper and returns its crease pattern. It fails with a
// words.Text when the paper cannot be folded (no flap) or when its flap needs more than MaxTucks.
func NewPattern(u figure.Unit) (*Pattern, error) {
	m := Of(u)
	if !m.Foldable() {
		return nil, words.T("fold.no-flap", "Flap", lengthOf(m.FlapMM))
	}
	if m.Tucks() > MaxTucks {
		return nil, words.T("fold.flap-too-long", "Flap", lengthOf(m.FlapMM), "Leg", lengthOf(m.LegMM))
	}
	w := &folding{m: m, paper: stack{sheetOf(u)}}
	w.double()
	w.mark()
	w.ends()
	w.turn()
	w.tuck()
	w.corners()
	w.flaps()
	w.half()
	return w.pattern(), nil
}

func sheetOf(u figure.Unit) *flake {
	l := u.LongMM / 2
	return &flake{
		sheet:  []Pt{{-l, 0}, {l, 0}, {l, u.ShortMM}, {-l, u.ShortMM}},
		stages: []Stage{{Motion: still}},
	}
}

// step records one step around what it does.
func (w *folding) step(name string, turnedBefore, turned bool, lines []Segment, moves []Move, do func()) {
	key := "fold.step." + name
	if name == "ends" && w.m.StripLayers == 1 {
		key = "fold.step.ends-single"
	}
	st := Folding{
		Number: len(w.steps) + 1, Name: name, Text: words.T(key),
		Turned: turned, Before: w.paper.faces(turnedBefore), Lines: lines, Moves: moves,
	}
	if turnedBefore {
		for i := range st.Lines {
			st.Lines[i].A.X, st.Lines[i].B.X = -st.Lines[i].A.X, -st.Lines[i].B.X
		}
		for i := range st.Moves {
			st.Moves[i].From.X, st.Moves[i].To.X = -st.Moves[i].From.X, -st.Moves[i].To.X
		}
	}
	w.paper.next()
	do()
	st.After = w.paper.faces(turned)
	w.steps = append(w.steps, st)
}

// double folds the upper half of the sheet down; the closed edge becomes the strip's upper edge.
func (w *folding) double() {
	if w.m.StripLayers == 1 {
		return
	}
	l, h := w.m.Unit.LongMM/2, w.m.LegMM
	s := Segment{Pt{-l, h}, Pt{l, h}}
	w.step("double", false, false, []Segment{s}, []Move{{From: Pt{0, 2 * h}, To: Pt{0, 0}}}, func() {
		w.paper = w.paper.fold(over, crease{line: through(s.A, s.B)})
	})
}

// mark pinches the middle of the long side; nothing moves.
func (w *folding) mark() {
	l, h := w.m.Unit.LongMM/2, w.m.LegMM
	w.step("mark", false, false, []Segment{{Pt{0, 0}, Pt{0, h}}}, []Move{{From: Pt{l, h / 2}, To: Pt{-l, h / 2}, Back: true}}, func() {})
}

// ends folds both ends down along 45° lines, so that the upper edge comes to lie on the middle line.
func (w *folding) ends() {
	h, end := w.m.LegMM, w.m.Unit.LongMM/2
	r, l := Segment{Pt{h, 0}, Pt{0, h}}, Segment{Pt{0, h}, Pt{-h, 0}}
	moves := []Move{{From: Pt{end, h}, To: Pt{0, h - end}}, {From: Pt{-end, h}, To: Pt{0, h - end}}}
	w.step("ends", false, false, []Segment{r, l}, moves, func() {
		w.paper = w.paper.fold(over,
			crease{line: through(r.B, r.A)}, crease{line: through(l.B, l.A)})
	})
	w.steps[len(w.steps)-1].Marks = []Segment{{Pt{0, 0}, Pt{0, h}}} // that of mark
}

func (w *folding) turn() { w.step("turn", false, true, nil, nil, func() {}) }

// tuck folds the lower edge of the flaps up to the base line, as often as it takes.
func (w *folding) tuck() {
	h, f := w.m.LegMM, w.m.FlapMM
	for range w.m.Tucks() {
		s := Segment{Pt{h, -f / 2}, Pt{-h, -f / 2}}
		w.step("tuck", true, true, []Segment{s}, []Move{{From: Pt{h / 2, -f}, To: Pt{h / 2, 0}}, {From: Pt{-h / 2, -f}, To: Pt{-h / 2, 0}}}, func() {
			w.paper = w.paper.fold(under, crease{line: through(s.A, s.B)})
		})
		f /= 2
	}
}

// corners folds the outer corner of each flap so that the flap's outer edge lies on the base line.
func (w *folding) corners() {
	h, f := w.m.LegMM, w.m.TuckedFlapMM()
	r, l := Segment{Pt{h, 0}, Pt{h - f, -f}}, Segment{Pt{f - h, -f}, Pt{-h, 0}}
	w.step("corners", true, true, []Segment{r, l}, []Move{{From: Pt{-h, -f}, To: Pt{f - h, 0}, Again: 1}}, func() {
		w.paper = w.paper.fold(under,
			crease{through(r.A, r.B), rightFlap}, crease{through(l.A, l.B), leftFlap})
	})
}

// flaps folds both flaps up over the base line.
func (w *folding) flaps() {
	h, f := w.m.LegMM, w.m.TuckedFlapMM()
	s := Segment{Pt{h, 0}, Pt{-h, 0}}
	middle := (h - f) / 2
	w.step("flaps", true, true, []Segment{s}, []Move{{From: Pt{middle, -f}, To: Pt{middle, f}}, {From: Pt{-middle, -f}, To: Pt{-middle, f}}}, func() {
		w.paper = w.paper.fold(under, crease{line: through(s.A, s.B)})
	})
}

// half folds the triangle in half along its altitude with the flaps inside; the mouths of the pockets
// stay outside, along the spine.
func (w *folding) half() {
	h := w.m.LegMM
	s := Segment{Pt{0, h}, Pt{0, 0}}
	w.step("half", true, true, []Segment{s}, []Move{{From: Pt{h, 0}, To: Pt{-h, 0}}}, func() {
		w.paper = w.paper.fold(under, crease{line: through(s.A, s.B)})
	})
}

func rightFlap(outline []Pt) bool { return reachesBelow(outline) && middle(outline).X > 0 }
func leftFlap(outline []Pt) bool  { return reachesBelow(outline) && middle(outline).X < 0 }

// reachesBelow tells whether a facet reaches below the base line, as only flaps do.
func reachesBelow(outline []Pt) bool {
	for _, p := range outline {
		if p.Y < -near {
			return true
		}
	}
	return false
}

func middle(ps []Pt) Pt {
	var c Pt
	for _, p := range ps {
		c.X += p.X / float64(len(ps))
		c.Y += p.Y / float64(len(ps))
	}
	return c
}

func (w *folding) pattern() *Pattern {
	p := &Pattern{Measures: w.m, Steps: w.steps}
	for _, f := range w.paper {
		p.Facets = append(p.Facets, Facet{Sheet: f.sheet, Stages: f.stages})
	}
	for i := range p.Facets {
		for j := i + 1; j < len(p.Facets); j++ {
			if c, ok := between(p.Facets[i], p.Facets[j]); ok {
				p.Creases = append(p.Creases, c)
			}
		}
	}
	sort.SliceStable(p.Creases, func(i, j int) bool { return p.Creases[i].Step < p.Creases[j].Step })
	return p
}

// between finds the crease that two facets share, if they do: a common edge across which the paper
// was folded in some step.
func between(f, g Facet) (Crease, bool) {
	for i, a := range f.Sheet {
		b := f.Sheet[(i+1)%len(f.Sheet)]
		for j, c := range g.Sheet {
			d := g.Sheet[(j+1)%len(g.Sheet)]
			s, ok := overlap(a, b, c, d)
			if !ok {
				continue
			}
			for k := range f.Stages {
				if f.Stages[k].Motion.Reflects() != g.Stages[k].Motion.Reflects() {
					return Crease{A: s.A, B: s.B, Direction: direction(f, g), Step: k}, true
				}
			}
		}
	}
	return Crease{}, false
}

// direction of the crease between two neighbours: a valley when the one whose plain side looks up
// lies below the other.
func direction(f, g Facet) Direction {
	a, b := f.Stages[len(f.Stages)-1], g.Stages[len(g.Stages)-1]
	if a.Motion.Reflects() {
		a, b = b, a
	}
	return Direction(a.Layer < b.Layer)
}

// overlap is the common part of the segments a–b and c–d, which run in opposite directions along one
// line when two facets touch there; ok is false when it has no length.
func overlap(a, b, c, d Pt) (Segment, bool) {
	l := through(a, b)
	if math.Abs(l.left(c)) > near || math.Abs(l.left(d)) > near {
		return Segment{}, false
	}
	at := func(p Pt) float64 { return l.along.X*(p.X-a.X) + l.along.Y*(p.Y-a.Y) }
	lo, hi := math.Max(0, at(d)), math.Min(at(b), at(c))
	if hi-lo < near {
		return Segment{}, false
	}
	on := func(t float64) Pt { return Pt{a.X + t*l.along.X, a.Y + t*l.along.Y} }
	return Segment{on(lo), on(hi)}, true
}
