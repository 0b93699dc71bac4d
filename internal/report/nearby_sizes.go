package report

import (
	"context"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// NearbySize is a unit size close to the figure's and what it would change.
type NearbySize struct {
	Unit     figure.Unit
	PerSheet int
	Sheets   int // of the whole figure with its spares, each colour cut from its own sheet, with nothing at hand: as Paper.Sheets
	Height   shape.Range
	Diameter shape.Range
	Text     words.Text // "At 52 × 37 mm a sheet of A4 gives 32 units. …"
}

// Nearby is the answer of FindNearby.
type Nearby struct {
	Now      NearbySize
	Better   []NearbySize // more units to a sheet, the smallest change first
	Fuller   *NearbySize  // as many units with the least waste; nil when that is now
	Complete bool         // every size within reach was looked at
}

// FindNearby looks for unit sizes within ±3 mm, at the same fold, that fill the sheet of all colours
// better, with the work that is left in a context of paper.Together. It fails with figure.Faults as Make does.
func FindNearby(ctx context.Context, f *figure.Figure, s Settings) (Nearby, error) {
	layout, err := s.layout(ctx, f, "")
	if err != nil {
		return Nearby{}, err
	}
	found, err := paper.FindNearby(ctx, layout.Cutting, f.Unit, paper.NearbyStepMM, measure)
	if err != nil {
		return Nearby{}, err
	}
	n := neighbours{f: f, s: &s, counts: Count(f), cutting: layout.Cutting}
	out := Nearby{Now: n.size(ctx, found.Now), Complete: found.Complete}
	for _, v := range found.Better {
		if size := n.size(ctx, v); size.Sheets > 0 {
			out.Better = append(out.Better, size)
		}
	}
	if found.Fuller != nil {
		if fuller := n.size(ctx, *found.Fuller); fuller.Sheets > 0 {
			out.Fuller = &fuller
		}
	}
	return out, ctx.Err()
}

// neighbours works out what a size close by makes of the whole figure.
type neighbours struct {
	f       *figure.Figure
	s       *Settings
	counts  Units
	cutting paper.Cutting // of the sheet of all colours
}

// measure tells paper what fold knows of a unit.
func measure(u figure.Unit) (legMM float64, comfortable bool) {
	m := fold.Of(u)
	return m.LegMM, m.Comfortable()
}

// size looks at one size. Its Sheets are 0 where a colour's own sheet is too small for the unit.
func (n *neighbours) size(ctx context.Context, v paper.Nearby) NearbySize {
	changed := *n.f // only the unit differs; the rings are read, not written
	changed.Unit = v.Unit
	size := shape.Estimate(&changed, n.s.Gauge(v.Unit))
	return NearbySize{Unit: v.Unit, PerSheet: v.PerSheet, Sheets: n.sheets(ctx, v),
		Height: size.Height, Diameter: size.Diameter, Text: v.Text(n.cutting.Sheet)}
}

// sheets counts the sheets of all colours, each from its own; 0 where a unit does not fit on one of them.
func (n *neighbours) sheets(ctx context.Context, v paper.Nearby) (sheets int) {
	for _, c := range n.counts.ByColour {
		if c.Units == 0 {
			continue
		}
		perSheet, err := v.PerSheet, error(nil)
		if n.s.colour(c.Colour).Sheet != "" {
			perSheet, err = n.onOwnSheet(ctx, c.Colour, v.Unit)
		}
		if err != nil {
			return 0
		}
		sheets += paper.SheetsFor(c.Units+paper.Spares(c.Units, n.s.Spare), perSheet)
	}
	return sheets
}

func (n *neighbours) onOwnSheet(ctx context.Context, colour string, u figure.Unit) (perSheet int, err error) {
	c := n.cutting
	if c.Sheet, err = n.s.sheetOf(colour); err != nil {
		return 0, err
	}
	c.LongMM, c.ShortMM = u.LongMM, u.ShortMM
	return paper.Count(ctx, c)
}
