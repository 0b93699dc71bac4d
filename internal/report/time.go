package report

import (
	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/paper"
)

// Time is the estimate of the whole job by the clock, in minutes, stage after stage. The plain numbers
// are the best guesses; Range holds each between a low and a high one.
type Time struct {
	People    int        `json:"people"`
	Cutting   float64    `json:"cutting_min"`
	Folding   float64    `json:"folding_min"`
	Assembly  float64    `json:"assembly_min"`
	Finishing float64    `json:"finishing_min"` // with drying
	Drying    float64    `json:"drying_min"`    // of finishing, the wait for the glue
	Total     float64    `json:"total_min"`     // cutting, folding, assembly and finishing together
	Labour    float64    `json:"labour_min"`    // person-minutes at work
	Pace      string     `json:"pace"`
	Range     TimeRange  `json:"range"`
	Work      WorkCounts `json:"work"`
	Shares    []int      `json:"shares"` // units that each person folds, as in the kits
	Builders  int        `json:"builders"`
	Plan      *pace.Plan `json:"plan,omitempty"` // where a length of session is set
}

// TimeRange is each stage of the estimate between low and high, in minutes.
type TimeRange struct {
	Cutting   pace.Range `json:"cutting_min"`
	Folding   pace.Range `json:"folding_min"`
	Assembly  pace.Range `json:"assembly_min"`
	Finishing pace.Range `json:"finishing_min"`
	Drying    pace.Range `json:"drying_min"`
	Total     pace.Range `json:"total_min"`
	Labour    pace.Range `json:"labour_min"`
}

// WorkCounts are what the estimate is made from.
type WorkCounts struct {
	Strokes int `json:"strokes"` // cuts of the blade
	Stacks  int `json:"stacks"`  // stacks of sheets
	Units   int `json:"units"`   // units to fold, spares among them
	Placed  int `json:"placed"`  // units to place in rings
	Rings   int `json:"rings"`   // to close: open rows are not
	Tucked  int `json:"tucked"`  // extras to tuck in, and parts to push on
	Glued   int `json:"glued"`   // pieces and parts to glue on
}

// work counts what there is to do.
func (r *Report) work(f *figure.Figure) (w WorkCounts, shares []int) {
	w = WorkCounts{Strokes: r.Cutting.Strokes, Stacks: r.Cutting.Stacks, Placed: r.Units.InRings}
	for i := range f.Rings {
		if !f.Open(i) {
			w.Rings++
		}
	}
	for i := range f.Parts {
		switch set := f.Parts[i].Set; {
		case set == nil:
		case set.How == figure.GluedOn:
			w.Glued++
		default:
			w.Tucked++
		}
	}
	for i := range f.Extras {
		if f.Extras[i].Kind == figure.Glued {
			w.Glued++
		} else {
			w.Tucked++
		}
	}
	for _, k := range r.Kits {
		shares = append(shares, k.Units)
		w.Units += k.Units
	}
	return w, shares
}

// inTenths rounds the stages to tenths of a minute that add up to the total.
func inTenths(e *pace.Estimate) {
	stages := []*pace.Range{&e.Cutting, &e.Folding, &e.Assembly, &e.Finishing}
	for _, end := range []func(*pace.Range) *float64{
		func(r *pace.Range) *float64 { return &r.Low },
		func(r *pace.Range) *float64 { return &r.Best },
		func(r *pace.Range) *float64 { return &r.High },
	} {
		exact := make([]float64, len(stages))
		for i, r := range stages {
			exact[i] = *end(r)
		}
		shown, total := paper.AddUp(exact, 1)
		for i, r := range stages {
			*end(r) = shown[i]
		}
		*end(&e.Total) = total
		*end(&e.Drying) = rounded(*end(&e.Drying), 1)
		*end(&e.Labour) = rounded(*end(&e.Labour), 1)
	}
}

// estimate works out the time for people of the settings' pace.
func estimate(w WorkCounts, shares []int, s *Settings) Time {
	people := s.profiles()
	rates := pace.DefaultRates().WithOwn(s.OwnTimes)
	e := rates.Estimate(pace.Work{
		Strokes: w.Strokes, Stacks: w.Stacks, Units: w.Units, Shares: shares,
		Placed: w.Placed, Rings: w.Rings, Tucked: w.Tucked, Glued: w.Glued,
	}, people)
	var plan *pace.Plan
	if s.SessionMin > 0 {
		p := rates.Plan(e, s.SessionMin, s.CutBefore)
		plan = &p
	}
	inTenths(&e)
	return Time{
		People: e.People, Pace: s.Pace, Work: w, Builders: e.Builders,
		Cutting: e.Cutting.Best, Folding: e.Folding.Best, Assembly: e.Assembly.Best, Finishing: e.Finishing.Best,
		Drying: e.Drying.Best, Total: e.Total.Best, Labour: e.Labour.Best,
		Range:  TimeRange{e.Cutting, e.Folding, e.Assembly, e.Finishing, e.Drying, e.Total, e.Labour},
		Shares: shares, Plan: plan,
	}
}
