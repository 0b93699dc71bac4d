package report

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

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
