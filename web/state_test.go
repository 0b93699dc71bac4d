package web

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

func benchmarkState(b *testing.B, units, rings int) {
	f, err := figure.Read([]byte(tubeOf(units, rings)))
	require.NoError(b, err)
	size := 0
	for b.Loop() {
		data, err := json.Marshal(stateOf(store.Now{Figure: f}))
		if err != nil {
			b.Fatal(err)
		}
		size = len(data)
	}
	b.ReportMetric(float64(size)/1e3, "kB")
}

func BenchmarkState200x64(b *testing.B)  { benchmarkState(b, 64, 200) }
func BenchmarkState500x200(b *testing.B) { benchmarkState(b, 200, 500) }
