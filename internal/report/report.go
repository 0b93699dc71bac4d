// Package report puts together what a maker shops, cuts and plans from: exact counts of units,
// sheets and their mass, the size and the time as honest ranges, what to buy, how to cut, and who folds
// what. It reckons nothing that figure, fold, paper, pace and shape can tell.
//
// Make gives a Report; as JSON it is what `tuckring report --json` prints (contract.md), and grows only
// by further fields. Lengths are mm, masses g, times minutes.
//
// Rounding: nothing is rounded before it is shown. Masses and the stages of the time are shown numbers
// (tenths of a gram, of a minute): they are rounded by paper.AddUp, so that they add up to the total, and a
// page, a table and the JSON show the same. Sizes are not rounded here; WriteJSON says how all numbers are written.
package report

import (
	"context"
	"errors"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/fold"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Report is everything the report of one figure says.
type Report struct {
	Title    string     `json:"title"`
	Units    Units      `json:"units"`
	Rings    []Ring     `json:"rings"`
	Paper    Paper      `json:"paper"` // all of it, whatever is at hand
	Size     shape.Size `json:"size"`  // outside, extras among it
	Time     Time       `json:"time"`  // of what is left to do after the stock at hand
	Shopping Shopping   `json:"shopping"`
	Cutting  Cutting    `json:"cutting"`
	Kits     []Kit      `json:"kits"`    // one for each person; what is left to fold
	Offers   []Offer    `json:"offers"`  // sheets in the shop, the cheapest for a unit first
	Sources  []Source   `json:"sources"` // where each number comes from

	Findings []findings.Finding `json:"findings"` // what may not hold, or not be meant, as everywhere; empty until LookOver

	// SwatchRefused says why the size is from memory although there is a swatch; zero when it is not so.
	SwatchRefused words.Text `json:"-"`
}

// Paper is the paper for the figure: how much of which, and what it weighs.
type Paper struct {
	Sheet    string      `json:"sheet"`
	Unit     Unit        `json:"unit"`
	PerSheet int         `json:"per_sheet"` // units to a sheet; 0 when no colour uses the sheet and no unit fits on it
	ByColour []PaperLine `json:"by_colour"` // colours that the figure uses, in its order
	Spare    int         `json:"spare"`     // spare units of all colours
	Sheets   int         `json:"sheets"`
	MassG    float64     `json:"mass_g"` // of all sheets, as printed
}

// Unit is the paper one unit is folded from.
type Unit struct {
	LongMM  float64     `json:"long_mm"`
	ShortMM float64     `json:"short_mm"`
	Fold    figure.Fold `json:"fold"`
	LegMM   float64     `json:"leg_mm"`
}

// PaperLine is the paper of one colour.
type PaperLine struct {
	Colour   string  `json:"colour"`
	Name     string  `json:"name"`
	Units    int     `json:"units"` // without spares
	Spare    int     `json:"spare"`
	Sheet    string  `json:"sheet"`
	PerSheet int     `json:"per_sheet"`
	Sheets   int     `json:"sheets"`
	Grammage float64 `json:"grammage"` // g/m²
	MassG    float64 `json:"mass_g"`   // of its sheets, as printed

	layout *paper.Layout
	exactG float64
}

// LookOver adds what was found in the figure of the report, with the settings that the report was made with. It is
// apart from Make, since it looks at every unit and takes many times as long as the numbers.
func (r *Report) LookOver(f *figure.Figure, s Settings) {
	r.Findings = findings.Check(f, s.Gauge(f.Unit))
}

// Make works out the numbers of the report of a figure that Validate accepts, with valid settings; LookOver adds the
// findings. It fails with
// figure.Faults, each naming the field of the settings, when a setting is wrong or the unit does
// not fit on a sheet; with ctx's error when ctx ends first. All its searches share one limit of work (paper.Together).
func Make(ctx context.Context, f *figure.Figure, s Settings) (*Report, error) {
	if faults := s.Validate(f); len(faults) > 0 {
		return nil, faults
	}
	ctx = paper.Together(ctx)
	r := &Report{Title: f.Title, Units: Count(f), Rings: rings(f), Findings: []findings.Finding{}}
	var err error
	if r.Paper, err = paperOf(ctx, f, &s, r.Units); err != nil {
		return nil, err
	}
	r.Size = shape.Estimate(f, s.Gauge(f.Unit))
	r.SwatchRefused = s.swatchRefused()
	if r.Shopping, err = shoppingOf(ctx, &s, r.Paper.ByColour); err != nil {
		return nil, err
	}
	if r.Cutting, err = cuttingOf(ctx, f, &s, r.Shopping.Lines); err != nil {
		return nil, err
	}
	if r.Kits, err = kitsOf(&s, r.Shopping.Lines); err != nil {
		return nil, err
	}
	work, shares := r.work(f)
	r.Time = estimate(work, shares, &s)
	if r.Offers, err = offersOf(ctx, f, &s); err != nil {
		return nil, err
	}
	r.Sources = r.sources(&s)
	return r, nil
}

func paperOf(ctx context.Context, f *figure.Figure, s *Settings, units Units) (Paper, error) {
	p := Paper{Sheet: s.Sheet, ByColour: []PaperLine{}, Unit: Unit{f.Unit.LongMM, f.Unit.ShortMM, f.Unit.Fold, fold.Of(f.Unit).LegMM}}
	usesOwn := true
	for _, u := range units.ByColour {
		if u.Units == 0 {
			continue
		}
		c, err := paperLine(ctx, f, s, u)
		if err != nil {
			return Paper{}, err
		}
		usesOwn = usesOwn && s.colour(u.Colour).Sheet != ""
		p.ByColour = append(p.ByColour, c)
		p.Spare += c.Spare
		p.Sheets += c.Sheets
	}
	p.printMass()
	layout, err := s.layout(ctx, f, "")
	if err != nil && !usesOwn {
		return Paper{}, err
	}
	if err == nil {
		p.PerSheet = layout.PerSheet
	}
	return p, nil
}

func paperLine(ctx context.Context, f *figure.Figure, s *Settings, u ColourUnit) (PaperLine, error) {
	layout, err := s.layout(ctx, f, u.Colour)
	if err != nil {
		return PaperLine{}, err
	}
	c := PaperLine{
		Colour: u.Colour, Name: u.Name, Units: u.Units, Spare: paper.Spares(u.Units, s.Spare),
		Sheet: layout.Cutting.Sheet.Name, PerSheet: layout.PerSheet, Grammage: s.grammageOf(u.Colour), layout: layout,
	}
	c.Sheets = paper.SheetsFor(c.Units+c.Spare, c.PerSheet)
	c.exactG = paper.Mass(layout.Cutting.Sheet, c.Grammage, c.Sheets)
	return c, nil
}

// layout is the best layout of the sheet of a colour, or of all colours for "".
func (s *Settings) layout(ctx context.Context, f *figure.Figure, colour string) (*paper.Layout, error) {
	sheet, err := s.sheetOf(colour)
	if err != nil {
		return nil, err
	}
	c := paper.ForUnit(sheet, f.Unit)
	c.MarginMM, c.KerfMM = s.MarginMM, s.KerfMM
	field := "sheet"
	if colour != "" && s.colour(colour).Sheet != "" {
		field = "colour." + colour + ".sheet"
	}
	layout, err := paper.Best(ctx, c)
	return layout, atFields(err, map[string]string{"sheet": field, "unit": field, "margin": "margin_mm", "kerf": "kerf_mm"})
}

// atFields moves faults found in paper to the fields of the settings, which have other names. (A
// unit that does not fit is a matter of the sheet here.)
func atFields(err error, fields map[string]string) error {
	var faults figure.Faults
	var one figure.Fault
	if errors.As(err, &one) {
		faults = figure.Faults{one}
	} else if !errors.As(err, &faults) {
		return err
	}
	for i := range faults {
		if field, ok := fields[faults[i].Where]; ok {
			faults[i].Where = field
		}
	}
	return faults
}

// printMass rounds the masses to tenths of a gram that add up.
func (p *Paper) printMass() {
	exact := make([]float64, len(p.ByColour))
	for i, c := range p.ByColour {
		exact[i] = c.exactG
	}
	printed, total := paper.AddUp(exact, 1)
	for i := range p.ByColour {
		p.ByColour[i].MassG = printed[i]
	}
	p.MassG = total
}

// Totals are what an editor shows while somebody paints.
type Totals struct {
	Units    int           `json:"units"`
	InRings  int           `json:"in_rings"`
	ByColour []ColourTotal `json:"by_colour"` // every colour of the figure
	Sheets   int           `json:"sheets"`
}

// ColourTotal is one colour of Totals.
type ColourTotal struct {
	Colour string `json:"colour"`
	Units  int    `json:"units"`
	Sheets int    `json:"sheets"`
}

// TotalsOf counts units and sheets, and nothing else. Where the sheets cannot be told, because a
// setting is wrong or no unit fits, they are 0; Make says why.
func TotalsOf(ctx context.Context, f *figure.Figure, s Settings) Totals {
	t, _ := totalsOf(ctx, f, s)
	return t
}

// TotalsAtOnce are the totals where no layout has to be searched for; ok is false where one has.
func TotalsAtOnce(ctx context.Context, f *figure.Figure, s Settings) (t Totals, ok bool) {
	return totalsOf(paper.Remembered(ctx), f, s)
}

func totalsOf(ctx context.Context, f *figure.Figure, s Settings) (t Totals, all bool) {
	ctx, all = paper.Together(ctx), true
	u := Count(f)
	t = Totals{Units: u.Total, InRings: u.InRings, ByColour: make([]ColourTotal, len(u.ByColour))}
	for i, c := range u.ByColour {
		t.ByColour[i] = ColourTotal{Colour: c.Colour, Units: c.Units}
		if c.Units == 0 {
			continue
		}
		sheet, err := paperLine(ctx, f, &s, c)
		if err == nil {
			t.ByColour[i].Sheets = sheet.Sheets
			t.Sheets += sheet.Sheets
		}
		all = all && !errors.Is(err, paper.ErrNotRemembered)
	}
	return t, all
}
