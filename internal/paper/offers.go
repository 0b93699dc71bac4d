package paper

import (
	"cmp"
	"context"
	"math/bits"
	"slices"

	"tuckring/internal/words"
)

// Offer is a sheet in the shop: packs of Sheets sheets at Price.
type Offer struct {
	Name   string
	Sheet  Sheet
	Sheets int
	Price  Money
}

// Value is what an offer is worth for a unit size.
type Value struct {
	Offer
	PerSheet int     // units a sheet gives; 0 when the unit does not fit
	PerPack  int     // units a pack gives
	PerUnit  float64 // price of one unit in minor units of the currency; 0 when the unit does not fit
}

// Cheapest ranks the offers by the price of a unit, exactly; those the unit does not fit on come last.
// The sheet of c is each offer's. It fails with a figure.Fault when the offers have different
// currencies, and as Best does for what is wrong with c.
func Cheapest(ctx context.Context, c Cutting, offers []Offer) ([]Value, error) {
	var out []Value
	for _, o := range offers {
		if o.Sheets < 1 || o.Sheets > maxPackSheets {
			return nil, fault("pack.sheets", words.T("paper.count.bad", "Found", o.Sheets), words.T("paper.pack.allowed", "Most", maxPackSheets))
		}
		if f := o.Price.faults(); f != nil {
			return nil, f[0]
		}
		if o.Price.Currency != offers[0].Price.Currency {
			return nil, fault("currency", words.T("paper.currency.mixed", "One", offers[0].Price.Currency, "Other", o.Price.Currency),
				words.T("paper.currency.one"))
		}
		v, err := o.value(ctx, c)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	slices.SortStableFunc(out, byPricePerUnit)
	return out, nil
}

func (o Offer) value(ctx context.Context, c Cutting) (Value, error) {
	c.Sheet = o.Sheet
	v := Value{Offer: o}
	if c.Sheet.Validate() == nil && c.MarginMM < min(o.Sheet.WidthMM, o.Sheet.HeightMM)/2 && !c.fits() {
		return v, nil
	}
	units, err := Count(ctx, c)
	if err != nil {
		return v, err
	}
	v.PerSheet, v.PerPack = units, units*o.Sheets
	v.PerUnit = float64(o.Price.Minor) / float64(v.PerPack)
	return v, nil
}

// byPricePerUnit compares price/units without rounding: a/b < c/d is a·d < c·b. The products take up to 128 bits: a
// price has up to 10¹⁰ minor units, a pack up to 10⁹ units. Prices are not negative.
func byPricePerUnit(a, b Value) int {
	if a.PerPack == 0 || b.PerPack == 0 {
		return cmp.Compare(b.PerPack, a.PerPack)
	}
	highA, lowA := bits.Mul64(uint64(a.Price.Minor), uint64(b.PerPack))
	highB, lowB := bits.Mul64(uint64(b.Price.Minor), uint64(a.PerPack))
	return cmp.Or(cmp.Compare(highA, highB), cmp.Compare(lowA, lowB))
}
