package solid

import (
	"context"
	"math"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/gauge"
	"tuckring/internal/solid/solidtest"
)

// million is an egg of a million triangles in six colours.
func million() *solidtest.Solid {
	return solidtest.Lathe(250, 1000, 500, func(s float64) float64 { return 180 * solidtest.EggRadius(s) }, func(s, turn float64) [3]uint8 {
		return [3]uint8{uint8(40 * math.Floor(6*s)), uint8(40 * math.Floor(6*turn)), 90}
	})
}

// wholeWay reads a solid and makes a figure of 250 mm of it.
func wholeWay(b *testing.B, data []byte) {
	m, err := Read(context.Background(), data, nil)
	require.NoError(b, err)
	_, err = Make(context.Background(), m, Options{Title: "Egg", HeightMM: 250, Papers: papers})
	require.NoError(b, err)
}

// A million triangles become a figure within 3 s.
func BenchmarkMillionTriangles(b *testing.B) {
	s := million()
	for _, c := range []struct {
		name string
		data []byte
		most float64 // text takes long to read, bytes do not
	}{{"STL", s.STL(), 15}, {"GLB", s.GLB(), 22}, {"PLY", s.PLY("binary_little_endian"), 10}, {"OBJ", s.OBJ(), 5}} {
		b.Run(c.name, func(b *testing.B) {
			gauge.Duration(b, "a "+c.name+" of a million triangles to a figure of 250 mm", 3*time.Second,
				func() { wholeWay(b, c.data) },
				gauge.Baseline{Name: "reading it", Deed: func() { read(b, c.data) }, Most: c.most})
		})
	}
}

// What is allocated from the file to the figure, all that was freed on the way with it, bounds the memory.
func BenchmarkMillionTrianglesMemory(b *testing.B) {
	data := million().OBJ()
	measure := func(deed func()) float64 {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		deed()
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc-before.TotalAlloc) / 1e6
	}
	var all, bare float64
	for b.Loop() {
		bare = measure(func() { read(b, data) })
		all = measure(func() { wholeWay(b, data) })
	}
	gauge.Report(b, gauge.Figure{Name: "memory for an OBJ of a million triangles, beside the file", Unit: "MB", Measured: all, Allowed: 500,
		Baseline: bare, Against: "reading it"})
}
