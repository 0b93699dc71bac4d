package figure

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// goesAfter is a context that ends when it has been asked so many times.
type goesAfter struct {
	context.Context
	left *int
}

func (c goesAfter) Err() error {
	if *c.left--; *c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestABatchStopsWhereItTakesTooMuchAndLeavesTheFigureAsItWas(t *testing.T) {
	f := Tube("Pier", Unit{LongMM: 52, ShortMM: 37, Fold: Doubled}, []Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 10, 4)
	before := f.Clone()
	keys := f.Keys()
	// 40 units, then 80, 160, 320, 640: 1240 units of work, five times 40 as it is estimated before. Rings get their
	// identities as they come, so the batch is written by doing it.
	double := func(g *Figure) *Batch {
		out := &Batch{}
		for range 5 {
			e := &DuplicateRings{Rings: g.Keys().Rings}
			_, _, err := Apply(g, e)
			require.NoError(t, err)
			out.Edits = append(out.Edits, &Batch{Edits: []Edit{e}})
		}
		return out
	}
	grows := double(f.Clone())
	require.Equal(t, 200, Work(f, grows))
	same := func() {
		assert.Equal(t, before.Rings, f.Rings)
		assert.Equal(t, keys, f.Keys())
	}
	_, _, err := ApplyWithin(t.Context(), f, grows, 1239)
	assert.ErrorIs(t, err, ErrTooMuch)
	same()
	left := 3
	_, _, err = ApplyWithin(goesAfter{t.Context(), &left}, f, grows, math.MaxInt)
	assert.ErrorIs(t, err, context.Canceled, "asked between the edits")
	assert.Equal(t, -1, left, "and nothing was begun after it")
	same()
	inverse, _, err := ApplyWithin(t.Context(), f, grows, 1240)
	require.NoError(t, err)
	assert.Equal(t, 1280, f.Units())
	_, _, err = Apply(f, inverse)
	require.NoError(t, err)
	assert.Equal(t, before.Rings, f.Rings)
}
