package paper

import (
	"encoding/json"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// Size is the size of a piece of paper in mm, the shorter side first.
type Size struct{ WMM, HMM float64 }

func (s Size) String() string { return mm(s.WMM) + " × " + mm(s.HMM) }

// CutStep is one setting of the stop at the trimmer and what is cut with it: each of Take pieces of size
// From is measured along its AlongMM side and cut Times times at StopMM.
type CutStep struct {
	From    Size
	Whole   bool // From is the sheet as it comes
	Take    int  // pieces of that size taken up
	AlongMM float64
	StopMM  float64
	Times   int // cuts of each piece
	Gives   Size
	Pieces  int  // pieces of the measured size that come out, of all pieces taken up
	Units   bool // they are units
	Left    Size // what is left of each piece taken up, if Rest says there is something
	Rest    Rest
}

// Rest says what is left of a piece after a step.
type Rest string

// Nothing is left (or only the blade's width), or one more piece of the measured size (counted in
// Pieces), or an offcut, spare paper that is not needed, a unit, or a piece that is cut later on.
const (
	RestNone   Rest = ""
	RestSame   Rest = "same"
	RestOffcut Rest = "offcut"
	RestSpare  Rest = "spare"
	RestUnit   Rest = "unit"
	RestLater  Rest = "later"
)

// Cuts counts the cuts of the step on one sheet.
func (s CutStep) Cuts() int { return s.Take * s.Times }

// StopText is the stop setting in mm and, to a hundredth, in inches: "52 mm (2.05 in)".
func (s CutStep) StopText() words.Text {
	return words.T("paper.stop", "MM", mm(s.StopMM), "In", strconv.FormatFloat(Inches(s.StopMM), 'f', 2, 64))
}

// Text says the step to the person at the trimmer.
func (s CutStep) Text() words.Text { return words.T("paper.step", "Stop", mm(s.StopMM), "Do", s.Do()) }

// Do says what to do once the stop is set.
func (s CutStep) Do() words.Text {
	take := words.T("paper.step.take", "Count", s.Take, "Size", s.From.String())
	if s.Whole {
		take = words.T("paper.step.sheet", "Size", s.From.String())
	}
	gives := "paper.step.pieces"
	if s.Units {
		gives = "paper.step.units"
	}
	return words.T("paper.step.do", "Along", mm(s.AlongMM), "Take", take,
		"Cut", s.cutText(), "Gives", words.T(gives, "Count", s.Pieces, "Size", s.Gives.String()), "Left", s.leftText())
}

func (s CutStep) cutText() words.Text {
	if s.Take > 1 {
		return words.T("paper.step.cut_each", "Count", s.Times)
	}
	return words.T("paper.step.cut", "Count", s.Times)
}

func (s CutStep) leftText() words.Text {
	if s.Rest == RestNone || s.Rest == RestSame {
		return words.T("paper.step.left.none")
	}
	return words.T(words.Among("paper.step.left.", string(s.Rest), string(RestOffcut), string(RestSpare), string(RestUnit), string(RestLater)),
		"Count", s.Take, "Size", s.Left.String())
}

// MarshalJSON writes the step as `tuckring cut --json` promises: the sentence, the stop and how many
// pieces of that measure come out.
func (s CutStep) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Cut    string  `json:"cut"`
		StopMM float64 `json:"stop_mm"`
		Pieces int     `json:"pieces"`
	}{s.Text().String(), s.StopMM, s.Pieces})
}

// steps orders the cuts of a plan for the trimmer: identical pieces together, cuts with one setting
// one after another, large pieces before small ones. numbers tells which step, from 1, takes up a stage.
func (l *Layout) steps(root stage) (steps []CutStep, numbers map[stage]int) {
	steps, numbers = []CutStep{}, map[stage]int{}
	if root.done() {
		return steps, numbers
	}
	steps = append(steps, l.marginSteps()...)
	o := orderer{ruler: l.ruler, count: map[stage]int{root: 1}, waits: map[stage]int{}}
	o.index(root)
	ready := []stage{root}
	for len(ready) > 0 {
		i := o.next(ready, steps)
		s := ready[i]
		ready = slices.Delete(ready, i, i+1)
		step, made := o.step(s)
		step.Whole = len(steps) == 0
		steps = append(steps, step)
		numbers[s] = len(steps)
		for _, m := range made {
			if o.waits[m]--; o.waits[m] == 0 {
				ready = append(ready, m)
			}
		}
	}
	return steps, numbers
}

// marginSteps cuts the left and the lower margin off; the other two go with the waste or come as
// cuts of the plan.
func (l *Layout) marginSteps() []CutStep {
	m := l.ruler.margin
	if m == 0 {
		return nil
	}
	w, h := toTicks(l.Cutting.Sheet.WidthMM), toTicks(l.Cutting.Sheet.HeightMM)
	off := max(0, m-l.ruler.kerf)
	return []CutStep{
		trimStep(true, size(w, h), w, w-m, size(w-m, h), size(off, h)),
		trimStep(false, size(w-m, h), h, h-m, size(w-m, h-m), size(off, w-m)),
	}
}

func trimStep(whole bool, from Size, along, stop int64, gives, left Size) CutStep {
	s := CutStep{From: from, Whole: whole, Take: 1, AlongMM: fromTicks(along), StopMM: fromTicks(stop),
		Times: 1, Gives: gives, Pieces: 1, Left: left}
	if left.WMM > 0 {
		s.Rest = RestOffcut
	}
	return s
}

func size(a, b int64) Size {
	x, y := fromTicks(a), fromTicks(b)
	return Size{min(x, y), max(x, y)}
}

// orderer turns stages into steps.
type orderer struct {
	ruler
	count map[stage]int // pieces of each stage cut so far and not yet taken up
	waits map[stage]int // steps still to come that make pieces of the stage
}

// index counts for every stage the steps that make it.
func (o *orderer) index(s stage) {
	for _, m := range s.run().made() {
		o.waits[m]++
		if o.waits[m] == 1 {
			o.index(m)
		}
	}
}

// run is a row of cuts with one setting: parts alike in size, and what is left.
type run struct {
	parts []stage
	rest  stage
}

// run follows the cuts of s as long as they go on with the same stop and give the same size.
func (s stage) run() run {
	part, rest := s.parts()
	r := run{[]stage{part}, rest}
	for at := s; at.goesOn() && r.rest.need > 0; {
		at = r.rest
		next, left := at.parts()
		if next.stem != part.stem {
			break
		}
		r.parts, r.rest = append(r.parts, next), left
	}
	return r
}

// made lists the stages that the run makes and that are cut on later, each once.
func (r run) made() []stage {
	var out []stage
	for _, s := range append(slices.Clip(r.parts), r.rest) {
		if !s.done() && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// step takes up all pieces of s.
func (o *orderer) step(s stage) (CutStep, []stage) {
	r := s.run()
	take := o.count[s]
	along := s.w
	if s.alongH {
		along = s.h
	}
	part := r.parts[0]
	step := CutStep{From: o.size(s.piece), Take: take, AlongMM: fromTicks(o.real(along)),
		StopMM: fromTicks(s.stop - o.kerf), Times: len(r.parts), Gives: o.size(part.piece),
		Pieces: take * len(r.parts), Units: part.leaf(), Left: o.size(r.rest.piece), Rest: o.rest(r)}
	if step.Rest == RestSame {
		step.Pieces += take
	}
	for _, made := range r.parts {
		o.count[made] += take
	}
	o.count[r.rest] += take
	return step, r.made()
}

func (o *orderer) rest(r run) Rest {
	switch p := r.rest.piece; {
	case o.real(p.w) <= 0 || o.real(p.h) <= 0:
		return RestNone
	case r.rest.stem == r.parts[0].stem:
		return RestSame
	case r.rest.units == 0:
		return RestOffcut
	case r.rest.leaf():
		return RestUnit
	case r.rest.need == 0:
		return RestSpare
	}
	return RestLater
}

func (o *orderer) size(p piece) Size { return size(max(0, o.real(p.w)), max(0, o.real(p.h))) }

// next picks the ready stage to cut next: with the setting of the last step if there is one, else
// the largest.
func (o *orderer) next(ready []stage, steps []CutStep) int {
	best := 0
	for i, s := range ready {
		if o.before(s, ready[best], steps) {
			best = i
		}
	}
	return best
}

func (o *orderer) before(a, b stage, steps []CutStep) bool {
	if len(steps) > 0 {
		last := steps[len(steps)-1].StopMM
		sameA, sameB := fromTicks(a.stop-o.kerf) == last, fromTicks(b.stop-o.kerf) == last
		if sameA != sameB {
			return sameA
		}
	}
	if a.h != b.h {
		return a.h > b.h
	}
	if a.w != b.w {
		return a.w > b.w
	}
	return a.need > b.need
}

// stopsOf lists the different settings of the steps in their order, and counts how often the stop is set.
func stopsOf(steps []CutStep) (settings []float64, set int) {
	for i, s := range steps {
		if !slices.Contains(settings, s.StopMM) {
			settings = append(settings, s.StopMM)
		}
		if i == 0 || steps[i-1].StopMM != s.StopMM {
			set++
		}
	}
	return settings, set
}
