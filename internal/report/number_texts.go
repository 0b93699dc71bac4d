package report

import (
	"math"
	"strconv"

	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Numbers as people read them. These functions only choose how finely a number is shown; what is shown
// is still the number of the report.

// ShowLength says an estimated length in cm with its range: "about 12 cm (10–14 cm)", and with inches
// "… · 4.7 in (3.9–5.5 in)". Whole numbers are shown unless the range would vanish in them.
func ShowLength(v shape.Range, inches bool) words.Text {
	const mmPerCM = 10
	cm := showRange(v.Low/mmPerCM, v.Best/mmPerCM, v.High/mmPerCM, "\u00a0cm")
	if !inches {
		return cm
	}
	in := showRange(paper.Inches(v.Low), paper.Inches(v.Best), paper.Inches(v.High), "\u00a0in")
	return words.T("reportpage.both", "One", cm, "Other", in)
}

// showRange shows three numbers with as few decimals as keep the ends apart from the middle, at most two.
func showRange(low, best, high float64, measure string) words.Text {
	for decimals := 0; ; decimals++ {
		l, b, h := fixed(low, decimals), fixed(best, decimals), fixed(high, decimals)
		if l != b && b != h {
			return words.T("reportpage.about_range", "Best", b, "Low", l, "High", h, "Measure", measure)
		}
		if decimals == 2 {
			return words.T("reportpage.about", "Best", b, "Measure", measure)
		}
	}
}

func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// ShowTime says an estimated time with its range: "about 35 min (25–50 min)", from 1½ hours on in half
// hours, from 20 hours on in hours.
func ShowTime(v pace.Range) words.Text {
	show, measure := halfHours, "\u00a0h"
	switch {
	case v.Best < 10:
		show, measure = func(min float64) string { return fixed(min, 0) }, "\u00a0min"
	case v.Best < 90:
		show, measure = func(min float64) string { return fixed(5*math.Round(min/5), 0) }, "\u00a0min"
	case v.Best >= 20*60:
		show = func(min float64) string { return fixed(min/60, 0) }
	}
	low, best, high := show(v.Low), show(v.Best), show(v.High)
	if low == high {
		return words.T("reportpage.about", "Best", best, "Measure", measure)
	}
	return words.T("reportpage.about_range", "Best", best, "Low", low, "High", high, "Measure", measure)
}

// halfHours writes minutes in hours to the nearest half: "1½".
func halfHours(min float64) string {
	halves := int(math.Round(min / 30))
	whole := strconv.Itoa(halves / 2)
	switch {
	case halves%2 == 0:
		return whole
	case halves == 1:
		return "½"
	}
	return whole + "½"
}

// ShowPer100 says the price of 100 units of each offer: with the decimals of the currency, and as many more, up to
// four, as tell prices apart that differ.
func ShowPer100(offers []Offer) []string {
	out := make([]string, len(offers))
	if len(offers) == 0 {
		return out
	}
	own := decimalsOf(offers[0].Price)
	for decimals := own; decimals <= own+4; decimals++ {
		for i, o := range offers {
			out[i] = fixed(o.Per100, decimals)
		}
		if toldApart(offers, out) {
			break
		}
	}
	return out
}

// toldApart tells whether offers of different worth are shown differently; what no unit fits on does not matter.
func toldApart(offers []Offer, shown []string) bool {
	const same = 1e-9 // of the price: a quotient of whole numbers is good to much more
	for i, a := range offers {
		for k, b := range offers[:i] {
			if a.PerPack > 0 && b.PerPack > 0 && shown[i] == shown[k] && math.Abs(a.Per100-b.Per100) > same*a.Per100 {
				return false
			}
		}
	}
	return true
}

// Text says all units and in how many rings they stand, "692 units: 690 in 35 rings, 2 in extras", as every page,
// print and command says it.
func (u Units) Text(rings int) words.Text {
	all, in := words.T("figure.units", "Count", u.Total), words.T("web.rings", "Count", rings)
	if len(u.ByPart) > 1 { // rows of parts are no rings of one wall
		in = words.T("web.parts", "Count", len(u.ByPart))
	}
	if u.InExtras == 0 {
		return words.T("report.counts", "Units", all, "Rings", in)
	}
	return words.T("report.counts.extras", "Units", all, "Rings", in, "InRings", u.InRings, "InExtras", u.InExtras)
}
