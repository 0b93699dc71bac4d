package fold

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/figure"
)

var (
	a9Doubled    = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}
	halfA9Single = figure.Unit{LongMM: 52, ShortMM: 18.5, Fold: figure.Single}
	tuckedSingle = figure.Unit{LongMM: 85, ShortMM: 17, Fold: figure.Single} // flap 25.5, leg 17: one tuck
)

// Source: the craft's common sizes; a sheet of A9 (ISO 216: 37 × 52 mm) doubled and half of one
// single "both leg 18.5 mm, flap 7.5 mm, hypotenuse 26.2 mm".
func TestA9DoubledAndHalfA9SingleGiveTheSameUnit(t *testing.T) {
	for _, u := range []figure.Unit{a9Doubled, halfA9Single} {
		m := Of(u)
		assert.InDelta(t, 18.5, m.LegMM, 1e-9)
		assert.InDelta(t, 7.5, m.FlapMM, 1e-9)
		assert.InDelta(t, 26.2, m.HypotenuseMM, 0.05)
		assert.True(t, m.Foldable())
		assert.True(t, m.Comfortable())
		assert.False(t, m.NeedsTuck())
	}
	assert.Equal(t, 2, Of(a9Doubled).StripLayers, "but not of the same thickness")
	assert.Equal(t, 1, Of(halfA9Single).StripLayers)
}

// Common practice: comfortable from 1:1.3 to 1:2 doubled and 1:2.6 to 1:4 single; a flap longer than
// the leg needs a tuck, none at all does not lock.
func TestWhatFoldsComfortably(t *testing.T) {
	for _, c := range []struct {
		name                          string
		long, short                   float64
		fold                          figure.Fold
		foldable, tucked, comfortable bool
	}{
		{"square of origami paper, doubled", 150, 150, figure.Doubled, false, false, false},
		{"1:1.2 doubled", 120, 100, figure.Doubled, true, false, false},
		{"1:1.3 doubled", 130, 100, figure.Doubled, true, false, true},
		{"1:2 doubled", 200, 100, figure.Doubled, true, false, true},
		{"1:2.1 doubled", 210, 100, figure.Doubled, true, true, false},
		{"A8 doubled", 74, 52, figure.Doubled, true, false, true},
		{"A9 single", 52, 37, figure.Single, false, false, false},
		{"1:2 single", 100, 50, figure.Single, false, false, false},
		{"1:2.6 single", 260, 100, figure.Single, true, false, true},
		{"30 × 80 strip, single", 80, 30, figure.Single, true, false, true},
		{"1:4 single", 60, 15, figure.Single, true, false, true},
		{"15 × 85 strip, single", 85, 15, figure.Single, true, true, false},
	} {
		m := Of(figure.Unit{LongMM: c.long, ShortMM: c.short, Fold: c.fold})
		assert.Equal(t, c.foldable, m.Foldable(), c.name)
		assert.Equal(t, c.tucked, m.NeedsTuck(), c.name)
		assert.Equal(t, c.comfortable, m.Comfortable(), c.name)
	}
}

func TestAdviceNamesTheOtherFoldOrATrim(t *testing.T) {
	for _, c := range []struct {
		name        string
		long, short float64
		fold        figure.Fold
		want        Advice
	}{
		{"comfortable needs none", 52, 37, figure.Doubled, Advice{}},
		{"A9 single: double it, or cut it to a strip of 1:2.6", 52, 37, figure.Single,
			Advice{OtherFold: figure.Doubled, TrimShortMM: 20}},
		{"strip of 30 × 80 doubled: keep it single, or cut it to 1:2", 80, 30, figure.Doubled,
			Advice{OtherFold: figure.Single, TrimLongMM: 60}},
		{"square doubled: cut it to 1:1.3", 150, 150, figure.Doubled, Advice{TrimShortMM: 115}},
		{"strip of 15 × 85 single: cut it to 1:4", 85, 15, figure.Single, Advice{TrimLongMM: 60}},
	} {
		m := Of(figure.Unit{LongMM: c.long, ShortMM: c.short, Fold: c.fold})
		assert.Equal(t, c.want, m.Advice(), c.name)
	}
}

func TestTucksHalveTheFlapUntilItIsNoLongerThanTheLeg(t *testing.T) {
	m := Of(tuckedSingle)
	assert.Equal(t, 1, m.Tucks())
	assert.InDelta(t, 12.75, m.TuckedFlapMM(), 1e-9)
	assert.Equal(t, 0, Of(a9Doubled).Tucks())
	assert.Equal(t, 0, Of(figure.Unit{LongMM: 10, ShortMM: 10, Fold: figure.Doubled}).Tucks())
}
