package pattern_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/picture"
	"tuckring/internal/wire"
	"tuckring/web/pattern"
	"tuckring/web/webtest"
)

// halves is a picture whose upper half is black and whose lower half is white.
func halves(t *testing.T, w, h int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := h / 2; y < h; y++ {
		for x := range w {
			img.SetGray(x, y, color.Gray{255})
		}
	}
	var out bytes.Buffer
	require.NoError(t, png.Encode(&out, img))
	return out.Bytes()
}

// sendPicture posts the bytes of a picture for a figure as its maker.
func sendPicture(t *testing.T, s http.Handler, base string, data []byte) *httptest.ResponseRecorder {
	t.Helper()
	r := webtest.Sending(base+"/picture", string(data))
	r.Header.Set("Content-Type", "image/png")
	r.Header.Set("Accept", "application/json")
	return webtest.Ask(t, s, webtest.By('m', r))
}

func tryPicture(t *testing.T, s http.Handler, base, body string, status int) *httptest.ResponseRecorder {
	t.Helper()
	w := webtest.Ask(t, s, webtest.By('m', webtest.Sending(base+"/picture/try", body)))
	require.Equal(t, status, w.Code, w.Body.String())
	return w
}

func TestPictureIsLaidAndChangesNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	design, err := kept.Create(context.Background(), figure.Tube("Pier", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "white", Name: "White", Hex: "#ffffff"}, {ID: "black", Name: "Black", Hex: "#000000"}}, 12, 6))
	require.NoError(t, err)
	base := "/d/" + design.ID
	name := webtest.Answer[wire.PictureKept](t, sendPicture(t, s, base, halves(t, 60, 40)), 200)
	assert.Equal(t, []int{60, 40}, []int{name.Width, name.Height})
	body := fmt.Sprintf(`{"picture":%q,"fit":true,"lay":{"way":"around","x":0,"y":0,"width":1,"height":1},"choice":{"gains":true}}`, name.Picture)
	got := webtest.Answer[wire.PictureTrial](t, tryPicture(t, s, base, body, 200), 200)
	require.Nil(t, got.Refused)
	assert.Equal(t, 72, got.Covered)
	assert.InDelta(t, 12, got.Around, 1e-9)
	painted := map[figure.RingID]string{}
	for _, run := range got.Paint {
		painted[run.Ring] += strings.Repeat(run.Colour[:1], run.N)
	}
	state := webtest.State(t, s, base, 'm')
	assert.Equal(t, strings.Repeat("w", 12), painted[state.Rings[0].ID], "the foot is white")
	assert.Equal(t, strings.Repeat("b", 12), painted[state.Rings[5].ID], "the top is black")
	assert.EqualValues(t, 0, state.Rev, "nothing is changed")

	few := strings.Replace(body, `"gains":true`, `"stock":[{"colour":"black","units":5}]`, 1)
	got = webtest.Answer[wire.PictureTrial](t, tryPicture(t, s, base, few, 200), 200)
	for _, use := range got.By {
		if use.Colour == "black" {
			assert.Equal(t, 5, use.Units, "there are only five")
		}
	}
	none := strings.Replace(body, `"gains":true`, `"stock":[{"colour":"black","units":5},{"colour":"white","units":6}]`, 1)
	got = webtest.Answer[wire.PictureTrial](t, tryPicture(t, s, base, none, 200), 200)
	assert.Contains(t, got.Refused.What, "72")
}

// Fitted anew a picture stays turned and mirrored as it is, keeps its proportions, and is as large as the field allows: half the way
// around, which is seen from the front, and all rows.
func TestFittedPictureStaysTurnedAndMirrored(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepTube(t, kept, 6).ID
	name := webtest.Answer[wire.PictureKept](t, sendPicture(t, s, base, halves(t, 90, 30)), 200).Picture
	fitted := func(lay string) picture.Lay {
		body := fmt.Sprintf(`{"picture":%q,"fit":true,"lay":{"way":"flat","x":5,"y":0,"width":1,"height":1%s},"choice":{}}`, name, lay)
		got := webtest.Answer[wire.PictureTrial](t, tryPicture(t, s, base, body, 200), 200)
		require.Nil(t, got.Refused)
		return got.Lay
	}
	upright := fitted("")
	over := fitted(`,"turn":180,"mirror":true`)
	assert.Equal(t, []any{180.0, true}, []any{over.Turn, over.Mirror})
	assert.InDelta(t, upright.Width, over.Width, 0.01*upright.Width, "upside down it is as large")
	for _, turn := range []float64{90, 30, -45} {
		l := fitted(fmt.Sprintf(`,"turn":%g`, turn))
		sin, cos := math.Abs(math.Sin(turn*math.Pi/180)), math.Abs(math.Cos(turn*math.Pi/180))
		assert.Equal(t, turn, l.Turn)
		assert.InDelta(t, 3, l.Width/l.Height, 1e-6, "its proportions stay")
		across, up := l.Width*cos+l.Height*sin, l.Width*sin+l.Height*cos
		full := fitted(`,"way":"around"`)
		assert.LessOrEqual(t, across, full.Width/2+1e-3, "it reaches no further than what is seen from the front")
		assert.LessOrEqual(t, up, full.Height+1e-3, "nor over the rows")
		assert.True(t, across > full.Width/2-0.01 || up > full.Height-0.01, "and it is as large as that allows")
	}
}

// A figure's makers may send as many pictures as they like: those of other figures stay.
func TestPicturesOfOneFigureLeaveThoseOfOthers(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base, other := "/d/"+webtest.KeepTube(t, kept, 3).ID, "/d/"+webtest.KeepTube(t, kept, 3).ID
	send := func(base string, w, h int) string {
		return webtest.Answer[wire.PictureKept](t, sendPicture(t, s, base, halves(t, w, h)), 200).Picture
	}
	known := func(base, name string) bool {
		r := webtest.Sending(base+"/picture/try", fmt.Sprintf(`{"picture":%q,"lay":{"way":"around","x":0,"y":0,"width":8,"height":3},"choice":{}}`, name))
		return webtest.Ask(t, s, webtest.By('m', r)).Code == 200
	}
	theirs := send(other, 60, 40)
	first := send(base, 61, 40)
	var last string
	for n := range 250 {
		last = send(base, 10+n, 8)
	}
	assert.True(t, known(other, theirs))
	assert.True(t, known(base, last))
	assert.False(t, known(base, first), "only the last ones are kept")
}

// In all so many pixels are kept, at most 4 bytes each; who has most of them gives way first, and what nobody uses goes with time.
func TestKeptPicturesAreBounded(t *testing.T) {
	var k pattern.KeptPictures
	large, small := &picture.Picture{Width: 2000, Height: 1250}, &picture.Picture{Width: 100, Height: 100}
	now := time.Now()
	k.Keep("small", "p", small, now)
	for n := range 60 {
		now = now.Add(time.Second)
		k.Keep(fmt.Sprint(n%20), fmt.Sprint(n), large, now)
	}
	assert.NotNil(t, k.Find("small", "p", now))
	left := 0
	for n := range 60 {
		if k.Find(fmt.Sprint(n%20), fmt.Sprint(n), now) != nil {
			left++
		}
	}
	assert.LessOrEqual(t, left*large.Width*large.Height*4, 100_000_000)
	assert.NotNil(t, k.Find("19", "59", now), "the last is there")
	assert.Nil(t, k.Find("19", "59", now.Add(time.Hour)))
	assert.Zero(t, k.Len(), "nothing stays in memory that is too old")
}

func TestPicturesFromOutsideAreBounded(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base, other := "/d/"+webtest.KeepTube(t, kept, 3).ID, "/d/"+webtest.KeepTube(t, kept, 3).ID
	for name, data := range map[string][]byte{
		"nothing": {}, "text": []byte("puffin"), "cut off": halves(t, 60, 40)[:60],
		"too many pixels": halves(t, 1600, 1600), "a claim": append(halves(t, 60, 40)[:16], 0x7f, 0xff, 0xff, 0xff, 0x7f, 0xff, 0xff, 0xff, 8, 0),
	} {
		w := sendPicture(t, s, base, data)
		problem := webtest.Answer[wire.Problem](t, w, 400)
		assert.NotEmpty(t, problem.What, name)
		assert.NotEmpty(t, problem.Fix, name)
	}
	name := webtest.Answer[wire.PictureKept](t, sendPicture(t, s, base, halves(t, 60, 40)), 200).Picture
	ask := func(lay, choice string) string {
		return fmt.Sprintf(`{"picture":%q,"lay":{%s},"choice":{%s}}`, name, lay, choice)
	}
	const fine = `"way":"around","x":0,"y":0,"width":8,"height":3`
	tryPicture(t, s, base, ask(fine, ""), 200)
	tryPicture(t, s, other, ask(fine, ""), 409) // what was sent for one figure is nobody else's
	tryPicture(t, s, base, strings.Replace(ask(fine, ""), name, "gone", 1), 409)
	for _, lay := range []string{
		`"way":"inside","x":0,"y":0,"width":8,"height":3`, `"way":"flat","x":1e300,"y":0,"width":8,"height":3`,
		`"way":"flat","x":0,"y":0,"width":0,"height":3`, `"way":"flat","x":0,"y":0,"width":8,"height":-3`,
		fine + `,"times":1000000`, fine + `,"times":-1`, fine + `,"from":3,"to":2`, fine + `,"to":1000000`, fine + `,"part":77`,
	} {
		for _, fit := range []string{"", `"fit":true,`} {
			body := strings.Replace(ask(lay, ""), "{", "{"+fit, 1)
			if got := webtest.Answer[wire.PictureTrial](t, tryPicture(t, s, base, body, 200), 200); fit == "" || strings.Contains(lay, "inside") {
				require.NotNil(t, got.Refused, lay)
				assert.NotEmpty(t, got.Refused.What)
			}
		}
	}
	for _, choice := range []string{
		`"best":-1`, `"spread":2`, `"background":true,"ground":"none"`, `"stock":[{"colour":"none","units":3}]`, `"stock":[{"colour":"chalk","units":-3}]`,
		`"stock":[{"colour":"chalk","units":40},{"colour":"chalk","units":50}]`,
	} {
		got := webtest.Answer[wire.PictureTrial](t, tryPicture(t, s, base, ask(fine, choice), 200), 200)
		require.NotNil(t, got.Refused, choice)
	}
}
