package e2e_test

import (
	"math"
	"math/rand"
	"testing"

	"tuckring/web/e2e"
)

// TestAShakingHandStaysOnItsLine paints with a hand that is up to 4 px off at every event: along two rings, two
// columns that lean and an upright one. Only what the straight strokes go through may be painted, at the size
// at which the editor opens. (Ring 1's unit 1 is at 0; each ring with an even number stands half a unit further
// right: the lattice of internal/figure.)
func TestAShakingHandStaysOnItsLine(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(16, 15))
		openEditor(maker, path)
		chance := rand.New(rand.NewSource(8))
		wide := unitAt(maker, 4, 9).X - unitAt(maker, 4, 8).X
		at := func(ring int, right float64) e2e.Point { // right of ring 1's unit 1, in units
			p := unitAt(maker, ring, 8)
			p.X += (right - 7 - float64((ring-1)%2)/2) * wide
			return p
		}
		want := make([][]byte, 15)
		for r := range want {
			want[r] = []byte("CCCCCCCCCCCCCCCC")
		}
		stroke := func(ring int, right float64, toRing int, toRight float64) {
			a, b := at(ring, right), at(toRing, toRight)
			n := int(math.Hypot(b.X-a.X, b.Y-a.Y) / 6)
			hand := make([]e2e.Point, n+1)
			for i := range hand {
				off := func() float64 { return (chance.Float64()*2 - 1) * 4 }
				k := float64(i) / float64(n)
				hand[i] = e2e.Point{X: a.X + (b.X-a.X)*k + off(), Y: a.Y + (b.Y-a.Y)*k + off()}
			}
			maker.Stroke(hand...)
		}
		mark := func(ring int, right float64) { want[ring-1][int(right-float64((ring-1)%2)/2)] = 'S' }

		stroke(2, 2.5, 2, 13.5)
		stroke(14, 13.5, 14, 2.5)
		for u := 2.5; u <= 13.5; u++ {
			mark(2, u)
			mark(14, u)
		}
		stroke(4, 2.5, 12, 6.5)
		stroke(12, 9.5, 4, 13.5)
		stroke(4, 8.25, 12, 8.25) // upright, between the middles of even and of odd rings
		for k := 0; k <= 8; k++ {
			mark(4+k, 2.5+float64(k)/2)
			mark(4+k, 13.5-float64(k)/2)
			mark(4+k, 8+float64((3+k)%2)/2)
		}
		rows := make([]string, len(want))
		for r := range want {
			rows[r] = string(want[r])
		}
		maker.View("freehand")
		assertDrawn(t, app, path, rows)
	})
}
