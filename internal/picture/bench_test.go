package picture

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
)

// photo is a JPEG of so many pixels with soft shapes and grain, as a camera gives.
func photo(b *testing.B, w, h int) []byte {
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for y := range h {
		for x := range w {
			v := 128 + 90*math.Sin(float64(x)/float64(w)*9)*math.Cos(float64(y)/float64(h)*7)
			img.Y[img.YOffset(x, y)] = uint8(v + float64((x*7919+y*104729)%23) - 11)
		}
	}
	for y := 0; y < h; y += 2 {
		for x := 0; x < w; x += 2 {
			c := color.YCbCr{Cb: uint8(128 + 60*math.Sin(float64(x+y)/700)), Cr: uint8(128 + 70*math.Cos(float64(x-y)/500))}
			img.Cb[img.COffset(x, y)], img.Cr[img.COffset(x, y)] = c.Cb, c.Cr
		}
	}
	var out bytes.Buffer
	require.NoError(b, jpeg.Encode(&out, img, &jpeg.Options{Quality: 92}))
	return out.Bytes()
}

func laid(b *testing.B, p *Picture, units, rings int, c Choice) {
	_, _, err := Pattern(p, Options{Title: "t", Unit: unit, Units: units, Rings: rings, Choice: c})
	require.NoError(b, err)
}

func read(b *testing.B, data []byte) *Picture {
	p, err := Read(bytes.NewReader(data))
	require.NoError(b, err)
	return p
}

// A picture of 12 megapixels becomes a pattern of 64 × 100 units in 12 papers: at most 1.5 times as long as decoding takes, all in all.
func BenchmarkPicture(b *testing.B) {
	data := photo(b, 4000, 3000)
	twelve := everyPaper(12)
	gauge.Duration(b, "12-megapixel JPEG to 64 × 100 units in 12 papers", 3*time.Second,
		func() { laid(b, read(b, data), 64, 100, Choice{Papers: twelve}) },
		gauge.Baseline{Name: "decoding that JPEG", Deed: func() { read(b, data) }, Most: 1.5})
}

// The same with a stock that is short of all papers but one takes at most 2 s, beside no stock.
func BenchmarkPictureWithStock(b *testing.B) {
	p := read(b, photo(b, 4000, 3000))
	twelve := everyPaper(12)
	stock := map[string]int{}
	for _, c := range twelve[1:] {
		stock[c.ID] = 250
	}
	gauge.Duration(b, "the same with a stock that is short of 11 papers", 2*time.Second,
		func() { laid(b, p, 64, 100, Choice{Papers: twelve, Stock: stock, Gains: true}) },
		gauge.Baseline{Name: "the same without a stock", Deed: func() { laid(b, p, 64, 100, Choice{Papers: twelve}) }})
}

// What is allocated from the file to the pattern, all that was freed on the way with it, bounds the memory.
func BenchmarkPictureMemory(b *testing.B) {
	data := photo(b, 4000, 3000)
	twelve := everyPaper(12)
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
		all = measure(func() { laid(b, read(b, data), 64, 100, Choice{Papers: twelve}) })
	}
	gauge.Report(b, gauge.Figure{Name: "memory for a 12-megapixel JPEG to 64 × 100 units", Unit: "MB", Measured: all, Allowed: 200, Baseline: bare, Against: "decoding that JPEG"})
}

// A drag step over a figure of 3000 units, from a picture of 2 megapixels, the best 6 of 19 papers.
func BenchmarkPicturePreview(b *testing.B) {
	p := read(b, photo(b, 1632, 1224))
	nineteen := everyPaper(19)
	f := figure.Tube("t", unit, nineteen, 60, 50)
	turn := 0.0
	step := func(c Choice) {
		g, err := NewGround(f, gaugeOf(f), 0, 0, 0)
		require.NoError(b, err)
		turn++
		l := g.Fit(p, Straight, 1)
		l.Turn, l.X = turn, math.Mod(turn, 7)
		_, err = Choose(g, p, l, c, LiveWork)
		require.NoError(b, err)
	}
	var times, bare []time.Duration
	for b.Loop() {
		start := time.Now()
		step(Choice{Papers: nineteen[:2]})
		middle := time.Now()
		step(Choice{Papers: nineteen, Best: 6})
		bare, times = append(bare, middle.Sub(start)), append(times, time.Since(middle))
	}
	gauge.Report(b, gauge.Figure{Name: "look ahead at a picture of 2 megapixels on 3000 units, best 6 of 19 papers, p95", Unit: "ms",
		Measured: gauge.MS(gauge.Share(times, 0.95)), Allowed: 100, Baseline: gauge.MS(gauge.Share(bare, 0.95)), Against: "the same in 2 papers"})
}
