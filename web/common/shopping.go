package common

import (
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// CostText says what is to be paid, as far as it is known.
func CostText(p kernel.Page, shopping *report.Shopping) string {
	switch {
	case shopping.Buy == 0:
		return p.Say.T("reportpage.cost.nothing")
	case len(shopping.Costs) == 0:
		return p.Say.T("reportpage.cost.unknown")
	}
	out := ""
	for i, m := range shopping.Costs {
		if i > 0 {
			out += " + "
		}
		out += m.String()
	}
	if !shopping.Priced {
		return p.Say.T("reportpage.cost.part", "Cost", out)
	}
	return out
}

// BuyText says what is to be bought.
func BuyText(p kernel.Page, shopping *report.Shopping) string {
	packs := words.T("reportpage.of_packs", "Count", shopping.Packs)
	if of := shopping.PackOf(); of > 0 {
		packs = words.T("reportpage.of_packs_alike", "Count", shopping.Packs, "Of", of)
	}
	sheets := words.T("reportpage.of_sheets", "Count", shopping.Buy)
	switch {
	case shopping.Packs > 0 && shopping.Single > 0:
		return p.Say.Say(words.T("reportpage.buy.mixed", "Packs", packs, "Single", words.T("reportpage.single", "Count", shopping.Single)))
	case shopping.Packs > 0:
		return p.Say.Say(words.T("reportpage.buy.packs", "Packs", packs, "Sheets", sheets))
	case shopping.Single > 0:
		return p.Say.T("reportpage.buy.sheets", "Count", shopping.Buy)
	}
	return p.Say.T("reportpage.buy.nothing")
}
