package kernel

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// Eight people draw as fast as a screen paints, sixty strokes a second of twenty units each, and each fills all
// units of the largest figure once a second over: for an hour nobody is held up. Undoing by all of them does not either.
func TestOrdinaryPaintingIsNeverHeldUp(t *testing.T) {
	a := Allowance{limit: workLimit}
	now := time.Date(2026, 11, 26, 12, 0, 0, 0, time.UTC)
	for second := range 3600 {
		for range 8 * 60 {
			a.Take("link", stepWork+20, now)
		}
		for range 6 {
			a.Take("link", stepWork+figure.MaxAllUnits, now)
		}
		require.Zero(t, a.wait("link", now), "after %d s", second)
		now = now.Add(time.Second)
	}
}

func TestAnAllowanceFillsAgain(t *testing.T) {
	a := Allowance{limit: limit{perSecond: 10, most: 100}}
	now := time.Date(2026, 11, 26, 12, 0, 0, 0, time.UTC)
	a.Take("one", 149, now)
	assert.Equal(t, 5*time.Second, a.wait("one", now), "49 too many and the first of the next, 10 a second")
	assert.Zero(t, a.wait("two", now), "each link has its own")
	assert.Equal(t, 5*time.Second, a.wait("one", now.Add(-time.Hour)), "a clock that is put back changes nothing")
	assert.Zero(t, a.wait("one", now.Add(-time.Hour).Add(5*time.Second)))
	for i := range 10 * keepAskers {
		a.wait(fmt.Sprint(i), now.Add(2*time.Hour))
	}
	assert.LessOrEqual(t, len(a.of), keepAskers+1)
}
