package pattern_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/pattern"
	"tuckring/web/webtest"
)

func benchmarkState(b *testing.B, units, rings int) {
	f, err := figure.Read([]byte(webtest.TubeOf(units, rings)))
	require.NoError(b, err)
	size := 0
	for b.Loop() {
		data, err := json.Marshal(wire.StateOf(store.Now{Figure: f}, pattern.TotalsOf(store.Now{Figure: f})))
		if err != nil {
			b.Fatal(err)
		}
		size = len(data)
	}
	b.ReportMetric(float64(size)/1e3, "kB")
}

func BenchmarkState200x64(b *testing.B)  { benchmarkState(b, 64, 200) }
func BenchmarkState500x200(b *testing.B) { benchmarkState(b, 200, 500) }

// Where the units of uneven rings stand travels in few bytes, and comes out as it is to the last place that travels; the client's
// own reading is tested in lattice.test.ts.
func TestEdgesTravelShortAndTrue(t *testing.T) {
	f, err := figure.Read([]byte(webtest.TubeOf(64, 40)))
	require.NoError(t, err)
	for id, n := range map[figure.RingID]int{5: 60, 12: 70, 20: 50, 30: 61} {
		_, _, err := figure.Apply(f, &figure.SetCount{Rings: []figure.RingID{id}, Units: n})
		require.NoError(t, err)
	}
	_, _, err = figure.Apply(f, &figure.LeaveOut{Ring: 33, At: 11, N: 2})
	require.NoError(t, err)
	u, uneven, units := figure.Unroll(f), 0, 0
	for i := range f.Rings {
		w := wire.RingOf(f, u, i)
		if w.Edges == nil {
			continue
		}
		uneven++
		at, k := 0, 0
		for unit := range f.Rings[i].Cells {
			from, to := u.Arc(i, unit)
			if unit == 0 || len(w.Edges) == 2*len(f.Rings[i].Cells) {
				at, k = at+w.Edges[k], k+1
			}
			require.InDelta(t, from*100_000, float64(at), 0.51)
			at, k = at+w.Edges[k], k+1
			require.InDelta(t, to*100_000, float64(at), 0.51)
		}
		require.Len(t, w.Edges, k)
		units += len(f.Rings[i].Cells)
	}
	require.Greater(t, uneven, 4)
	size := func() int {
		data, err := json.Marshal(wire.StateOf(store.Now{Figure: f}, pattern.TotalsOf(store.Now{Figure: f})))
		require.NoError(t, err)
		return len(data)
	}
	even, err := figure.Read([]byte(webtest.TubeOf(64, 40)))
	require.NoError(t, err)
	long := size()
	f = even
	require.Less(t, float64(long-size()), 8*float64(units), "a width takes 4 digits and a comma; pairs of decimals took 16")
}
