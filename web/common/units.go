package common

import (
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// MeasuredText says a unit's paper, in inches too if asked for: "52 × 37 mm (2.05 × 1.46 in)".
func MeasuredText(u figure.Unit, inches bool) words.Text {
	if !inches {
		return UnitText(u)
	}
	hundredths := func(mm float64) string { return strconv.FormatFloat(paper.Inches(mm), 'f', 2, 64) }
	return words.T("reportpage.unit_in", "Unit", UnitText(u), "Long", hundredths(u.LongMM), "Short", hundredths(u.ShortMM))
}

// UnitText says a unit's paper: "52 × 37 mm".
func UnitText(u figure.Unit) words.Text {
	return words.T("reportpage.unit", "Long", kernel.Digits(u.LongMM), "Short", kernel.Digits(u.ShortMM))
}
