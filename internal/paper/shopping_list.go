package paper

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// DefaultSparePercent is the share of units folded on top, since some tear or come out badly (common
// practice).
const DefaultSparePercent = 5.0

// SpareSource says where the default share of spares comes from.
func SpareSource() words.Text { return words.T("paper.source.spare") }

// Spares is the number of spare units for the units of one colour, rounded up.
func Spares(units int, percent float64) int {
	return int(math.Ceil(float64(units)*percent/100 - 1e-9))
}

// Stock is what the maker has of one colour.
type Stock struct {
	Sheets int          `json:"sheets,omitempty"` // whole sheets of the size that is bought
	Parts  []PartSheets `json:"parts,omitempty"`  // part-used sheets
	Cut    int          `json:"cut,omitempty"`    // units cut and not folded
	Folded int          `json:"folded,omitempty"` // units folded
}

// PartSheets is part-used sheets of one size in mm.
type PartSheets struct {
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	Count    int     `json:"count"`
}

// Pack is how paper is sold. Sheets 0 means single sheets; Price is nil when it is not known.
type Pack struct {
	Sheets int    `json:"sheets,omitempty"`
	Price  *Money `json:"price,omitempty"`
}

// Need is one colour of the order: Units in the figure, cut from the sheet of Cutting.
type Need struct {
	Colour   string
	Units    int
	Cutting  Cutting
	Grammage float64 // g/m²
	Stock    Stock
	Pack     Pack
}

// Line is what one colour comes to.
type Line struct {
	Colour   string
	Units    int          // in the figure
	Spare    int          // on top of the units still to be folded
	Folded   int          // of Units, folded already
	ToFold   int          // Units − Folded + Spare
	Cut      int          // of ToFold, cut already
	ToCut    int          // ToFold − Cut
	Parts    []PartSheets // part-used sheets to take
	FromPart int          // units they give
	Sheets   int          // whole sheets to take, at hand or bought
	PerSheet int          // units a whole sheet gives
	MassG    float64      // of the whole sheets, g
	Own      int          // of Sheets, at hand
	Buy      int          // of Sheets, to buy
	Packs    int          // to buy
	Cost     *Money       // of the packs; nil when the price is not known or nothing is bought
	Left     int          // whole sheets left over in the end, at hand and bought
	LeftLast int          // units the last sheet that is cut would still give
	Layout   *Layout

	partLayouts []*Layout // of Parts
}

// List is the shopping list.
type List struct {
	Lines  []Line
	Sheets int
	Buy    int
	Packs  int
	MassG  float64
	Costs  []Money // one sum for each currency
}

// Shop works out what to cut and what to buy for every colour. Spares are counted on the units still
// to be folded. Part-used sheets are taken only where they save a whole sheet, the largest first. It
// fails with figure.Faults; where is "spare" or, for the i-th need, "needs[i].…"; or with ctx's error.
func Shop(ctx context.Context, needs []Need, sparePercent float64) (List, error) {
	var faults figure.Faults
	if !within(sparePercent, 0, 100) {
		faults = append(faults, fault("spare", words.T("paper.spare.bad", "Found", number(sparePercent)), words.T("paper.spare.allowed")))
	}
	var list List
	for i, n := range needs {
		line, err := n.line(ctx, sparePercent, len(faults) == 0)
		if err != nil {
			more, ok := placed(err, i)
			if !ok {
				return List{}, err
			}
			faults = append(faults, more...)
			continue
		}
		list.add(line)
	}
	if len(faults) > 0 {
		return List{}, faults
	}
	return list, nil
}

// placed puts the number of the need before the places of its faults; not ok for another error.
func placed(err error, i int) (figure.Faults, bool) {
	faults, ok := err.(figure.Faults)
	for k := range faults {
		faults[k].Where = "needs[" + number(float64(i)) + "]." + faults[k].Where
	}
	return faults, ok
}

func (l *List) add(line Line) {
	l.Lines = append(l.Lines, line)
	l.Sheets += line.Sheets
	l.Buy += line.Buy
	l.Packs += line.Packs
	l.MassG += line.MassG
	if line.Cost != nil {
		l.Costs = AddMoney(l.Costs, *line.Cost)
	}
}

// Limits of what a person may have at hand or buy at once.
const (
	maxStock      = 1_000_000
	maxPackSheets = 10_000
	maxPartSizes  = 100
)

// Validate lists everything wrong with the need, as figure.Faults.
func (n Need) Validate() error {
	var faults figure.Faults
	count := func(where string, v, most int) {
		if v < 0 || v > most {
			faults = append(faults, fault(where, words.T("paper.count.bad", "Found", v), words.T("paper.count.allowed", "Most", most)))
		}
	}
	count("units", n.Units, maxJobUnits)
	count("stock.sheets", n.Stock.Sheets, maxStock)
	count("stock.cut", n.Stock.Cut, maxStock)
	count("stock.folded", n.Stock.Folded, maxStock)
	count("stock.parts", len(n.Stock.Parts), maxPartSizes)
	for _, p := range n.Stock.Parts {
		count("stock.parts", p.Count, maxStock)
		for _, side := range []float64{p.WidthMM, p.HeightMM} {
			if !within(side, MinSheetMM, MaxSheetMM) {
				faults = append(faults, fault("stock.parts", words.T("paper.sheet.side", "Found", mm(side)),
					words.T("paper.range", "Low", mm(MinSheetMM), "High", mm(MaxSheetMM))))
			}
		}
	}
	count("pack.sheets", n.Pack.Sheets, maxPackSheets)
	if p := n.Pack.Price; p != nil {
		faults = append(faults, p.faults()...)
	}
	if err := ValidateGrammage(n.Grammage); err != nil {
		faults = append(faults, err.(figure.Fault))
	}
	if err := n.Cutting.Validate(); err != nil {
		faults = append(faults, err.(figure.Faults)...)
	}
	if faults == nil {
		return nil
	}
	return faults
}

func (m Money) faults() figure.Faults {
	scale, err := decimals(m.Currency)
	if err != nil {
		f := err.(figure.Fault)
		f.Where = "pack.price.currency"
		return figure.Faults{f}
	}
	if m.Minor < 0 || m.Minor > maxPriceMajor*pow10(scale) {
		return figure.Faults{fault("pack.price", words.T("paper.price.high", "Found", m.String()),
			words.T("paper.price.most", "Most", maxPriceMajor))}
	}
	return nil
}

// line works one colour out; with work false it only checks.
func (n Need) line(ctx context.Context, sparePercent float64, work bool) (Line, error) {
	if err := n.Validate(); err != nil || !work {
		return Line{}, err
	}
	layout, err := Best(ctx, n.Cutting)
	if err != nil {
		return Line{}, err
	}
	l := Line{Colour: n.Colour, Units: n.Units, Layout: layout, PerSheet: layout.PerSheet}
	l.Folded = min(n.Units, n.Stock.Folded)
	l.Spare = Spares(n.Units-l.Folded, sparePercent)
	l.ToFold = n.Units - l.Folded + l.Spare
	l.Cut = min(l.ToFold, n.Stock.Cut)
	l.ToCut = l.ToFold - l.Cut
	if err := l.takeParts(ctx, n); err != nil {
		return Line{}, err
	}
	l.buy(n)
	return l, nil
}

// usablePart is part-used sheets of one size and the units each gives.
type usablePart struct {
	PartSheets
	layout *Layout
	units  int
}

// from asks the same of a part-used sheet, which has no margin any more.
func (c Cutting) from(p PartSheets) Cutting {
	c.Sheet, c.MarginMM = Sheet{WidthMM: p.WidthMM, HeightMM: p.HeightMM}, 0
	c.Sheet.Name = c.Sheet.size("x")
	return c
}

// usableParts lists the part-used sheets that give units, the largest first.
func (n Need) usableParts(ctx context.Context) ([]usablePart, error) {
	var out []usablePart
	for _, p := range n.Stock.Parts {
		c := n.Cutting.from(p)
		if !c.fits() || p.Count == 0 {
			continue
		}
		layout, err := Best(ctx, c)
		if err != nil {
			return nil, err
		}
		out = append(out, usablePart{p, layout, layout.PerSheet})
	}
	slices.SortStableFunc(out, func(a, b usablePart) int { return cmp.Compare(b.units, a.units) })
	return out, nil
}

// takeParts takes the fewest whole sheets that do with the help of the part-used ones, and then only
// as many of these as it needs.
func (l *Line) takeParts(ctx context.Context, n Need) error {
	parts, err := n.usableParts(ctx)
	if err != nil {
		return err
	}
	all := 0
	for _, o := range parts {
		all += o.units * o.Count
	}
	l.Sheets = SheetsFor(max(0, l.ToCut-all), l.PerSheet)
	short := l.ToCut - l.Sheets*l.PerSheet
	for _, o := range parts {
		if short <= 0 {
			break
		}
		take := min(o.Count, SheetsFor(short, o.units))
		short -= take * o.units
		l.FromPart += take * o.units
		o.PartSheets.Count = take
		l.Parts, l.partLayouts = append(l.Parts, o.PartSheets), append(l.partLayouts, o.layout)
	}
	return nil
}

// buy counts what the whole sheets come to.
func (l *Line) buy(n Need) {
	l.MassG = Mass(n.Cutting.Sheet, n.Grammage, l.Sheets)
	l.Own = min(l.Sheets, n.Stock.Sheets)
	l.Buy = l.Sheets - l.Own
	size := max(1, n.Pack.Sheets)
	l.Packs = ceilDiv(l.Buy, size)
	if n.Pack.Price != nil && l.Packs > 0 {
		cost := n.Pack.Price.Times(l.Packs)
		l.Cost = &cost
	}
	l.Left = n.Stock.Sheets + l.Packs*size - l.Sheets
	l.LeftLast = max(0, l.Sheets*l.PerSheet+l.FromPart-l.ToCut)
}

// Jobs is the cutting of the line for PlanOrder: the part-used sheets first, then the whole ones.
// thicknessMM is that of one sheet.
func (l Line) Jobs(thicknessMM float64) []Job {
	var jobs []Job
	left := l.ToCut
	for i, p := range l.Parts {
		layout := l.partLayouts[i]
		units := min(left, p.Count*layout.PerSheet)
		jobs = append(jobs, Job{Colour: l.Colour, Layout: layout, Units: units, ThicknessMM: thicknessMM, Part: true})
		left -= units
	}
	if left > 0 {
		jobs = append(jobs, Job{Colour: l.Colour, Layout: l.Layout, Units: left, ThicknessMM: thicknessMM})
	}
	return jobs
}

// SheetsFor is how many sheets give so many units at perSheet, which is 1 or more, each.
func SheetsFor(units, perSheet int) int { return ceilDiv(units, perSheet) }

func ceilDiv(a, b int) int { return (a + b - 1) / b }
