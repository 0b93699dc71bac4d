package report

import (
	"context"
	"slices"
	"strconv"
	"strings"

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

// Offer is a sheet in the shop and what it is worth for the figure's unit.
type Offer struct {
	Name     string      `json:"name"`
	Sheet    string      `json:"sheet"`
	PerSheet int         `json:"per_sheet"` // 0 when the unit does not fit
	PerPack  int         `json:"per_pack"`
	Price    paper.Money `json:"price"`
	Per100   float64     `json:"per_100"` // price of 100 units, in whole euros, pounds …; 0 when the unit does not fit
}

// offersOf ranks the offers of the settings by the price of a unit, the cheapest first.
func offersOf(ctx context.Context, f *figure.Figure, s *Settings) ([]Offer, error) {
	offers, err := parseOffers(s.Offers, s.Currency)
	if err != nil || len(offers) == 0 {
		return []Offer{}, err
	}
	c := paper.ForUnit(offers[0].Sheet, f.Unit)
	c.MarginMM, c.KerfMM = s.MarginMM, s.KerfMM
	values, err := paper.Cheapest(ctx, c, offers)
	if err != nil {
		return nil, atFields(err, map[string]string{"unit": "offers", "sheet": "offers", "margin": "margin_mm", "kerf": "kerf_mm"})
	}
	out := make([]Offer, len(values))
	for i, v := range values {
		out[i] = Offer{Name: v.Name, Sheet: v.Sheet.Name, PerSheet: v.PerSheet, PerPack: v.PerPack, Price: v.Price}
		if v.PerPack > 0 {
			price := amount(&v.Price).(float64)
			out[i].Per100 = 100 * price / float64(v.PerPack)
		}
	}
	return out, nil
}

// maxOffers is how many sheets in the shop are compared.
const maxOffers = 20

// parseOffers reads one offer a line: name; sheet; sheets in a pack; price of a pack. It fails with
// a figure.Fault that names the line.
func parseOffers(text, currency string) ([]paper.Offer, error) {
	var out []paper.Offer
	for i, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		offer, fix, ok := parseOffer(line, currency)
		if !ok || len(out) == maxOffers {
			return nil, figure.Fault{Where: "offers", What: words.T("report.offers.bad", "Line", i+1, "Found", clipped(line)), Fix: fix}
		}
		out = append(out, offer)
	}
	return slices.Clip(out), nil
}

func parseOffer(line, currency string) (offer paper.Offer, fix words.Text, ok bool) {
	fix = words.T("report.offers.fix", "Max", maxOffers)
	parts := strings.Split(line, ";")
	if len(parts) != 4 {
		return offer, fix, false
	}
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	sheet, err := paper.ParseSheet(parts[1])
	if err != nil {
		_, fix, _ = faultText(err)
		return offer, fix, false
	}
	n, err := strconv.Atoi(parts[2])
	if err != nil || n < 1 || n > MaxPack {
		return offer, words.T("figure.whole.fix", "Low", 1, "High", MaxPack), false
	}
	price, err := paper.ParseMoney("offers", parts[3], currency)
	if err != nil {
		_, fix, _ = faultText(err)
		return offer, fix, false
	}
	return paper.Offer{Name: parts[0], Sheet: sheet, Sheets: n, Price: price}, fix, true
}
