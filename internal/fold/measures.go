// Package fold is the geometry of one folded unit: what its paper gives (leg, flap, hypotenuse),
// whether it can be folded and how comfortably, its crease pattern, its flat stages step by step,
// and the finished unit standing in space.
//
// Every length is in millimetres. The rules are those of the craft: the strip (the sheet itself for
// the single fold, the sheet folded in half along its length for the doubled one) is l long and h
// wide, its ends are folded along 45° lines to a right-angled triangle of height h, two flaps of
// length f = l/2 − h lock it, and it is folded in half along the altitude. All numbers follow from
// geometry, because reflections keep lengths; the comfortable ratios are common practice.
package fold

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
)

// Comfortable range of l/(2h), the strip's length to twice its width. Common practice of the craft:
// 1:1.3 to 1:2 doubled, 1:2.6 to 1:4 single. At 2 the flap is exactly as long as the leg.
const (
	ComfortableLow  = 1.3
	ComfortableHigh = 2.0
)

// ratioSlack forgives the last digits of a division when a ratio stands exactly on a bound.
const ratioSlack = 1e-9

// trimStepMM is what a trimmed side is rounded to: half a millimetre is what a maker can cut.
const trimStepMM = 0.5

// Measures is what the paper of a unit gives. Lengths in mm.
type Measures struct {
	Unit         figure.Unit
	LegMM        float64 // h: the legs of the finished unit; both the spine and the half base
	FlapMM       float64 // f = l/2 − h: length of the locking flaps; ≤ 0: none
	HypotenuseMM float64 // h√2: the long side of the finished unit
	Ratio        float64 // l/(2h)
	StripLayers  int     // layers of paper in the strip: 1 single, 2 doubled
}

// Of measures the unit folded from the given paper.
func Of(u figure.Unit) Measures {
	layers, h := 2, u.ShortMM/2
	if u.Fold == figure.Single {
		layers, h = 1, u.ShortMM
	}
	return Measures{
		Unit:         u,
		LegMM:        h,
		FlapMM:       u.LongMM/2 - h,
		HypotenuseMM: h * math.Sqrt2,
		Ratio:        u.LongMM / (2 * h),
		StripLayers:  layers,
	}
}

// Foldable tells whether there is a flap at all; without one nothing locks the unit.
func (m Measures) Foldable() bool { return m.Ratio > 1+ratioSlack }

// NeedsTuck tells whether the flap is longer than the leg, so that it must be folded in half (or
// more) before its corner can be folded to the base line.
func (m Measures) NeedsTuck() bool { return m.Tucks() > 0 }

// Tucks counts how often the flap is halved before it is no longer than the leg. It is 0 for a unit
// that cannot be folded.
func (m Measures) Tucks() int {
	if !m.Foldable() {
		return 0
	}
	n := 0
	for f := m.FlapMM; f > m.LegMM*(1+ratioSlack); f /= 2 {
		n++
	}
	return n
}

// TuckedFlapMM is the length of the flap once it is tucked; the flap itself when it needs no tuck.
func (m Measures) TuckedFlapMM() float64 { return m.FlapMM / math.Pow(2, float64(m.Tucks())) }

// Comfortable tells whether l/(2h) lies in the range that folds comfortably (common practice).
func (m Measures) Comfortable() bool {
	return m.Ratio >= ComfortableLow-ratioSlack && m.Ratio <= ComfortableHigh+ratioSlack
}

// LeafLayers counts the layers of paper in one leaf of the finished unit: away from the flap (the
// unmoved triangle and the layer folded over it), under the flap, and under its folded corner.
func (m Measures) LeafLayers() (plain, flap, corner int) {
	inFlap := m.StripLayers << m.Tucks()
	plain = 2 * m.StripLayers
	return plain, plain + inFlap, plain + 2*inFlap
}

// Advice is what would make a paper fold comfortably. A zero value means the way is not open.
type Advice struct {
	OtherFold   figure.Fold // the other fold, when the same paper folds comfortably with it
	TrimLongMM  float64     // the long side cut down to this, same fold
	TrimShortMM float64     // the short side cut down to this, same fold
}

// Advice names the other fold and the trim that would bring the paper into the comfortable range,
// where they would. Trims are rounded down to half a millimetre. A comfortable paper gets none.
func (m Measures) Advice() Advice {
	if m.Comfortable() {
		return Advice{}
	}
	var a Advice
	other := m.Unit
	other.Fold = figure.Single
	if m.Unit.Fold == figure.Single {
		other.Fold = figure.Doubled
	}
	if Of(other).Comfortable() {
		a.OtherFold = other.Fold
	}
	trimmed := m.Unit
	if m.Ratio > ComfortableHigh {
		trimmed.LongMM = roundDown(ComfortableHigh * 2 * m.LegMM)
		if Of(trimmed).Comfortable() {
			a.TrimLongMM = trimmed.LongMM
		}
		return a
	}
	legs := m.Unit.ShortMM / m.LegMM // 2 legs in the short side doubled, 1 single
	trimmed.ShortMM = roundDown(legs * m.Unit.LongMM / (2 * ComfortableLow))
	if trimmed.ShortMM > 0 && Of(trimmed).Comfortable() {
		a.TrimShortMM = trimmed.ShortMM
	}
	return a
}

func roundDown(mm float64) float64 { return math.Floor(mm/trimStepMM+ratioSlack) * trimStepMM }

// lengthOf says a length as makers measure it, to a tenth of a millimetre and without a final ".0".
func lengthOf(mm float64) string { return strconv.FormatFloat(math.Round(mm*10)/10, 'f', -1, 64) }
