package tutorial

import (
	"context"
	"errors"

	"tuckring/internal/draw"
	"tuckring/internal/fold"
	"tuckring/internal/guide"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

// Step is one thing that a tutorial shows and says: a card of the film, and a paragraph of its script.
type Step struct {
	Name     string   // of its files, in plain ASCII
	Heading  string   // what it is about
	Say      []string // what is said, a sentence or a few to each
	Cautions []string // what can hurt, said and shown where the step is
	Units    int      // units on the figure when it is done; 0 before the first ring
	Code     string   // what a phone's camera reads on the card
	picture  func() *draw.Drawing
}

// steps are all steps of a figure in the order of the work.
func (t *Tutorial) steps(ctx context.Context) ([]Step, error) {
	made, err := report.Make(ctx, t.f, t.o.Settings)
	if err != nil {
		return nil, err
	}
	t.title(made)
	t.materials(made)
	if err := t.folding(); err != nil {
		return nil, err
	}
	if len(t.f.Rings) > 1 {
		t.tucking()
	}
	t.building()
	t.ending()
	return t.all, nil
}

func (t *Tutorial) add(s Step) { t.all = append(t.all, s) }

func (t *Tutorial) title(made *report.Report) {
	size := report.ShowLength(made.Size.Height, false)
	t.add(Step{Name: "title", Heading: t.f.Title, Say: []string{t.say.T("tutorial.title", "Counts", report.Count(t.f).Text(len(t.f.Rings)), "Height", size)},
		picture: func() *draw.Drawing { return draw.Stand(t.f, draw.ThreeQuarter, t.say) }})
}

func (t *Tutorial) materials(made *report.Report) {
	s := Step{Name: "materials", Heading: t.say.T("tutorial.materials"), picture: func() *draw.Drawing { return draw.ColourBar(t.f, 120, t.say) }}
	for _, c := range made.Paper.ByColour {
		s.Say = append(s.Say, t.say.T("tutorial.paper", "Colour", c.Name, "Units", words.T("figure.units", "Count", c.Units+c.Spare),
			"Sheets", words.T("tutorial.sheets", "Count", c.Sheets, "Sheet", made.Paper.Sheet)))
	}
	t.add(s)
	cut := Step{Name: "cutting", Heading: t.say.T("tutorial.cutting"), Cautions: t.cautions(0),
		Say: []string{t.say.T("tutorial.pieces", "Long", t.f.Unit.LongMM, "Short", t.f.Unit.ShortMM, "Count", made.Units.Total+made.Paper.Spare)}}
	if made.Paper.PerSheet > 0 {
		cut.Say = append(cut.Say, t.say.T("tutorial.per_sheet", "Count", made.Paper.PerSheet, "Sheet", made.Paper.Sheet))
	}
	t.add(cut)
}

// cautions are those of the guide before the first ring (0), or of a step, counted from 1.
func (t *Tutorial) cautions(step int) (out []string) {
	lines := t.guide.Before
	if step > 0 {
		lines = append(append([]guide.Line{}, t.guide.Steps[step-1].Before...), t.guide.Steps[step-1].After...)
	}
	for _, l := range lines {
		if l.Kind == guide.Caution {
			out = append(out, l.Say(t.say))
		}
	}
	return out
}

func (t *Tutorial) folding() error {
	p, err := fold.NewPattern(t.f.Unit)
	var why words.Text
	if errors.As(err, &why) { // the paper cannot be folded: that is said where the folding would be
		t.add(Step{Name: "folding", Heading: t.say.T("draw.handout.folding"), Say: []string{t.say.Say(why)}})
		return nil
	}
	if err != nil {
		return err
	}
	for _, st := range p.Steps {
		t.add(Step{Name: "fold", Heading: t.say.T("tutorial.fold", "Step", st.Number, "Steps", len(p.Steps)), Say: []string{t.say.Say(st.Text)},
			picture: func() *draw.Drawing { return draw.FoldStep(st, 96, 72, t.say) }})
	}
	t.add(Step{Name: "unit", Heading: t.say.T("draw.unit.title"), Say: []string{t.say.T("foldpage.unit")},
		picture: func() *draw.Drawing { return draw.FoldedUnit(p, 84, 63, t.say) }})
	return nil
}

func (t *Tutorial) tucking() {
	for _, how := range draw.TucksOf(t.f) {
		t.add(Step{Name: "tuck", Heading: t.say.T("foldpage.tuck"), Say: []string{t.say.T(words.Among("draw.tuck.", string(how), tucks...))},
			picture: func() *draw.Drawing { return draw.Tucking(t.f.Unit, how, 90, 80, t.say) }})
	}
	for _, step := range draw.Joinings {
		t.add(Step{Name: "first-rings", Heading: t.say.T("foldpage.first"), Say: []string{t.say.T(words.Among("draw.join.", string(step), joinings...))},
			picture: func() *draw.Drawing { return draw.FirstRings(t.f.Unit, step, 90, 80, t.say) }})
	}
}

// The sentences that may be said of how units are tucked.
var (
	tucks    = []string{"two", "three", "four", "one", "short"}
	joinings = []string{"three_units", "row", "circle", "open_out"}
)

func (t *Tutorial) building() {
	know := Step{Name: "reading", Heading: t.say.T("tutorial.reading"), picture: func() *draw.Drawing { return draw.Pattern(t.f, draw.PatternOptions{Bare: true, Width: 6, Say: t.say}) }}
	if t.f.Units() > mostOnCards {
		know.picture = nil // nothing of it could be seen
	}
	for _, l := range t.guide.Before {
		if l.Kind != guide.Caution {
			know.Say = append(know.Say, l.Say(t.say))
		}
	}
	t.add(know)
	var rows []int
	each := (len(t.guide.Steps) + mostRingCards - 1) / mostRingCards
	for from := 0; from < len(t.guide.Steps); from += each {
		to := min(from+each, len(t.guide.Steps))
		for i := from; i < to; i++ {
			rows = append(rows, t.guide.Steps[i].Row)
		}
		t.add(t.rings(from, to, rows[:len(rows):len(rows)]))
	}
}

// mostRingCards is how many cards show rings; of higher figures several rings share one, whose words may be in the script alone.
const mostRingCards = 300

// rings is one step of building: rings from … to−1 in the order of the work; built are all rows that then stand.
func (t *Tutorial) rings(from, to int, built []int) Step {
	first, last := &t.guide.Steps[from], &t.guide.Steps[to-1]
	s := Step{Name: "ring", Units: last.SoFar, picture: func() *draw.Drawing { return t.growing.With(built) }}
	switch {
	case to > from+1:
		s.Heading = t.say.T("tutorial.rings", "From", first.Name(), "To", last.Name())
	case first.Open:
		s.Heading = t.say.T("tutorial.row", "Ring", first.Name())
	default:
		s.Heading = t.say.T("tutorial.ring", "Ring", first.Name())
	}
	say := func(lines []guide.Line) {
		for _, l := range lines {
			if l.Kind != guide.Caution {
				s.Say = append(s.Say, l.Say(t.say))
			}
		}
	}
	for i := from; i < to; i++ {
		st := &t.guide.Steps[i]
		s.Cautions = append(s.Cautions, t.cautions(i+1)...)
		say(st.Before)
		s.Say = append(s.Say, st.Say(t.say))
		say(st.After)
	}
	s.Say = append(s.Say, t.say.T("guide.sofar", "Units", last.SoFar, "Total", t.guide.Units))
	return s
}

func (t *Tutorial) ending() {
	s := Step{Name: "done", Heading: t.say.T("tutorial.done"), Units: t.guide.Units, picture: func() *draw.Drawing { return draw.Stand(t.f, draw.Front, t.say) }}
	for _, l := range t.guide.After {
		if l.Kind == guide.Caution {
			s.Cautions = append(s.Cautions, l.Say(t.say))
			continue
		}
		s.Say = append(s.Say, l.Say(t.say))
	}
	for _, line := range []string{t.o.Credit, t.o.Licence, t.o.Address} {
		if line != "" {
			s.Say = append(s.Say, line)
		}
	}
	s.Code = t.o.Address
	t.add(s)
}
