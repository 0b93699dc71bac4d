package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"math"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
	"tuckring/internal/picture"
	"tuckring/internal/shape"
	"tuckring/internal/wire"
)

// BenchmarkPictureAnswered measures a drag step of a picture of 2 megapixels that is laid over a figure of 3000 units in 19 papers, from
// the request to the whole answer over HTTP: at most 100 ms, p95 (issue 11). Baseline: the calculation alone, in turns with it.
func BenchmarkPictureAnswered(b *testing.B) {
	m := newMachine(b)
	defer m.stop()
	var papers []figure.Colour
	for _, p := range figure.Papers[:19] {
		papers = append(papers, figure.Colour{ID: p.ID, Name: p.ID, Hex: p.Hex})
	}
	f := figure.Tube("Pier", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, papers, 60, 50)
	design, err := m.kept.Create(context.Background(), f)
	require.NoError(b, err)
	base := m.http.URL + "/d/" + design.ID
	data := softPhoto(b, 1632, 1224)
	p, err := picture.Read(bytes.NewReader(data))
	require.NoError(b, err)

	var sent wire.PictureKept
	answered(b, base+"/picture", "image/jpeg", data, &sent)
	var answers, alone []time.Duration
	for n := 0; b.Loop(); n++ {
		l := picture.Lay{Way: picture.Straight, X: math.Mod(float64(n), 7), Y: 20, Width: 19, Height: 14, Turn: float64(n % 360)}
		ask, err := json.Marshal(wire.PictureAsk{Picture: sent.Picture, Lay: l, Choice: wire.PictureChoice{Best: 6, Clean: true}})
		require.NoError(b, err)
		start := time.Now()
		ground, err := picture.NewGround(f, shape.FromMemory(f.Unit), 0, 0, 0)
		require.NoError(b, err)
		_, err = picture.Choose(ground, p, l, picture.Choice{Papers: papers, Best: 6, Clean: true}, picture.LiveWork)
		require.NoError(b, err)
		middle := time.Now()
		var trial wire.PictureTrial
		answered(b, base+"/picture/try", "application/json", ask, &trial)
		alone, answers = append(alone, middle.Sub(start)), append(answers, time.Since(middle))
		require.Nil(b, trial.Refused)
		require.NotEmpty(b, trial.Paint)
	}
	gauge.Report(b, gauge.Figure{Name: "a drag step of a picture of 2 megapixels on 3000 units, best 6 of 19 papers, from request to answer, p95", Unit: "ms",
		Measured: gauge.MS(gauge.Share(answers, 0.95)), Allowed: 100, Baseline: gauge.MS(gauge.Share(alone, 0.95)), Against: "the calculation alone"})
}

// answered posts something as a page does and reads the answer.
func answered(b *testing.B, url, kind string, body []byte, out any) {
	b.Helper()
	r, err := http.NewRequest(http.MethodPost, url, bytes.NewReader(body))
	require.NoError(b, err)
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Accept", "application/json")
	res, err := http.DefaultClient.Do(r)
	require.NoError(b, err)
	text, err := io.ReadAll(res.Body)
	require.NoError(b, err)
	require.NoError(b, res.Body.Close())
	require.Equal(b, http.StatusOK, res.StatusCode, string(text))
	require.NoError(b, json.Unmarshal(text, out))
}

// softPhoto is a JPEG of so many pixels with soft shapes and grain.
func softPhoto(b *testing.B, w, h int) []byte {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			grain := (x*7919 + y*104729) % 23
			wave := func(along, across float64) uint8 {
				return uint8(128 + 80*math.Sin(float64(x)/float64(w)*along)*math.Cos(float64(y)/float64(h)*across) + float64(grain))
			}
			img.SetNRGBA(x, y, color.NRGBA{wave(9, 7), wave(5, 11), wave(13, 3), 255})
		}
	}
	var out bytes.Buffer
	require.NoError(b, jpeg.Encode(&out, img, &jpeg.Options{Quality: 92}))
	return out.Bytes()
}
