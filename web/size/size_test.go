package size_test

import (
	"context"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/web/kernel"
	"tuckring/web/size"
	"tuckring/web/webtest"
)

// tubeOf12 is the form of a swatch as a maker fills it in.
func tubeOf12() url.Values {
	return url.Values{"tube_name": {"Copy paper"}, "tube_paper": {"80 g, A4 into 32"}, "unit_long": {"52"}, "unit_short": {"37"}, "unit_fold": {"doubled"},
		"tube_units": {"12"}, "tube_rings": {"6"}, "tube_diameter": {"44"}, "tube_height": {"60"}, "tube_measure": {"mm"}, "tube_rounding": {"1"}}
}

// A tube of 8 units and 10 rings of A9: pitch 0.58 × 18.5 mm and rise 0.48 × 18.5 mm, ±20 % (from memory), with units
// that lean 18° out (from memory): 9 rises over 18.5 × (cos 18° + sin 18°) = 23.3 mm are 103.2 mm of height (87–119),
// and 27.3 mm between the points with 18.5 × (cos 18° − sin 18°) = 11.9 mm of spine on either side 51.1 mm (46–57).
func TestSizeIsFromMemoryUntilItIsCalibrated(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepTube(t, kept, 10).ID
	page := webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size"))))
	assert.Contains(t, page, "about 10 cm (9–12 cm)")
	assert.Contains(t, page, "about 5.1 cm (4.6–5.7 cm)")
	assert.Contains(t, page, "Our estimate")

	w := webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/swatch", tubeOf12())))
	require.Equal(t, 303, w.Code, w.Body.String())
	page = webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(w.Header().Get("Location")))))
	// The swatch: 60 − 23.3 mm for 5 rises, so 23.3 + 66.1 mm for 10 rings; 44 − 23.8 mm between the points of 12 units,
	// so 23.8 + 13.5 mm for 8; half a mm of rounding on the swatch is 0.9 mm of height and 0.3 mm of width.
	assert.Contains(t, page, "about 8.9 cm (8.8–9.0 cm)")
	assert.Contains(t, page, "about 3.73 cm (3.69–3.76 cm)")
	assert.Contains(t, page, "Calculated from Copy paper")
	assert.Contains(t, page, "Used for this figure")
	_ = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/lengths", url.Values{"inches": {"yes"}})))
	assert.Contains(t, webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size")))), "3.52 in")

	w = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/use", nil)))
	require.Equal(t, 303, w.Code)
	assert.Contains(t, webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size")))), "Our estimate")
	w = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/use", url.Values{"calibration": {"1"}})))
	require.Equal(t, 303, w.Code)
	require.Equal(t, 303, webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/forget", url.Values{"calibration": {"1"}}))).Code)
	page = webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size"))))
	assert.Contains(t, page, "Calculated from Copy paper", "the figure keeps its measures")
	assert.NotContains(t, page, "Use for this figure")
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/forget", url.Values{"calibration": {"1"}}))).Code)
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/use", url.Values{"calibration": {"1"}}))).Code)
}

func TestSwatchIsRefusedBesideItsFields(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepTube(t, kept, 3).ID
	for field, c := range map[string]struct{ value, says string }{
		"tube_name":     {" ", "The text is empty."},
		"unit_long":     {"30", "Long"},
		"unit_fold":     {"twisted", "Choose"},
		"tube_units":    {"2", "from 3 to 1000"},
		"tube_rings":    {"1", "from 2 to 1000"},
		"tube_diameter": {"thick", "Write a number from 2 to 5000 mm"},
		"tube_height":   {"9000", "Write a number from 2 to 5000 mm"},
		"tube_rounding": {"0", "from 0.05 to 20 mm"},
		// Fewer than 12 units' spines need, and a last ring no higher than the first: by the geometry above.
		"tube_diameter ": {"20", "With 12 units of this paper"},
		"tube_height ":   {"20", "With 6 rings of this paper"},
	} {
		field = strings.TrimSpace(field)
		w := webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/swatch", webtest.With(tubeOf12(), field, c.value))))
		assert.Equal(t, 422, w.Code, field)
		wrong := w.Body.String()
		at := strings.Index(wrong, `id="`+field+`-wrong"`)
		require.Positive(t, at, field)
		if c.says != "Long" && c.says != "Choose" {
			assert.Contains(t, wrong[at:at+300], c.says, field)
		}
		assert.Contains(t, wrong, `value="80 g, A4 into 32"`, "what was typed stays")
	}
	inches := webtest.With(webtest.With(webtest.With(tubeOf12(), "tube_measure", "in"), "tube_diameter", "1.73"), "tube_height", "2.36")
	inches.Set("tube_rounding", "0.04")
	require.Equal(t, 303, webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/swatch", inches))).Code)
	list, err := kept.Calibrations(context.Background())
	require.NoError(t, err)
	assert.InDelta(t, 43.94, list[0].DiameterMM, 0.01) // 1 in = 25.4 mm
	w := webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/swatch", inches)))
	assert.Equal(t, 422, w.Code)
	assert.Contains(t, webtest.PageText(w), "a swatch called Copy paper already")
}

func TestWishedSizeIsPickedAndApplied(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepTube(t, kept, 10)
	base := "/d/" + d.ID
	wish := url.Values{"asked": {"1"}, "height": {"30"}, "wide": {"12"}, "in": {"cm"}}
	page := webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size?"+wish.Encode()))))
	// A8 doubled: leg 26 mm, so 18 units × 0.58 × 26 / π = 86 mm with 2 × 26 × (cos 18° − sin 18°) = 33 mm of spines, and
	// 21 × 0.48 × 26 = 262 mm over a lowest ring of 26 × (cos 18° + sin 18°) = 33 mm: 22 rings.
	assert.Contains(t, page, "A4 into 16: 74 × 52 mm, doubled 18 units in the widest ring, 22 rings.")
	picked := -1
	for i := range 6 {
		page = webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size?"+webtest.With(wish, "pick", string(rune('0'+i))).Encode()))))
		if strings.Contains(page, "74 × 52 mm, doubled instead of 52 × 37 mm, doubled.") {
			picked = i
			break
		}
	}
	require.GreaterOrEqual(t, picked, 0)
	assert.Contains(t, page, "Rings: 22 instead of 10")
	assert.Contains(t, page, "widest ring: 18 instead of 8")
	assert.Contains(t, page, "Units in the rings: 396 instead of 80.")
	w := webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/apply", webtest.With(wish, "pick", string(rune('0'+picked))))))
	require.Equal(t, 303, w.Code, w.Body.String())
	assert.Contains(t, webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(w.Header().Get("Location"))))), "one step of its history")
	after := webtest.State(t, s, base, 'm')
	assert.EqualValues(t, 1, after.Rev)
	assert.Len(t, after.Rings, 22)
	assert.Len(t, after.Rings[21].Cells, 18)
	w = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/undo", nil)))
	require.Equal(t, 303, w.Code)
	assert.Len(t, webtest.State(t, s, base, 'm').Rings, 10)
	w = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/size/undo", nil)))
	assert.Contains(t, webtest.PageText(webtest.Ask(t, s, webtest.By('m', webtest.Get(w.Header().Get("Location"))))), "no step of yours")

	refused := webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size?"+webtest.With(wish, "height", "tall").Encode())))
	assert.Contains(t, webtest.PageText(refused), "Write a number from 1 to 500 cm")
	inches := webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/size?"+webtest.With(webtest.With(wish, "in", "in"), "height", "300").Encode())))
	assert.Contains(t, webtest.PageText(inches), "Write a number from 0.39 to 196.85 in")
}

func TestCalibrationsAreTheMakersOwn(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepTube(t, kept, 3)
	edit, err := kept.MakeLink(context.Background(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	look, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.By('e', webtest.Post("/e/"+edit.Token+"/size/swatch", tubeOf12()))).Code)
	assert.NotContains(t, webtest.PageText(webtest.Ask(t, s, webtest.By('e', webtest.Get("/e/"+edit.Token+"/size")))), "Measure a swatch")
	page := webtest.PageText(webtest.Ask(t, s, webtest.By('v', webtest.Get("/v/"+look.Token+"/size?asked=1&height=10&wide=5&in=cm"))))
	assert.Contains(t, page, "units in the widest ring")
	assert.NotContains(t, page, "What would change")
	assert.Equal(t, 403, webtest.Ask(t, s, webtest.By('v', webtest.Post("/v/"+look.Token+"/size/use", nil))).Code)
}

// What a way promises is what the figure measures once it went it, extras and short sides and bellies too: every demo figure, at the
// size it has and at 30 × 20 cm (the octopus's arms made of 'about 20 cm' 31.7). At its own size it stands first.
func TestWaysPromiseTheSizeThatTheFigureGets(t *testing.T) {
	for _, name := range []string{"octopus", "puffin", "lighthouse", "honey-jar"} {
		data, err := os.ReadFile("../../testdata/shelf/" + name + ".tuckring.json")
		require.NoError(t, err)
		f, err := figure.Read(data)
		require.NoError(t, err)
		p := kernel.Present{Figure: f, Settings: report.DefaultSettings()}
		for _, wish := range []url.Values{{"height": {"30"}, "wide": {"20"}, "in": {"cm"}}, nil} {
			form := size.WishForm(wish, p)
			ways := size.WaysTo(form, p)
			require.NotEmpty(t, ways)
			if wish == nil {
				assert.Equal(t, []any{f.Unit, len(f.Rings), f.Units()}, []any{ways[0].Unit, ways[0].Rings, ways[0].Total}, "%s is its own size", name)
			}
			for i, k := range ways {
				if k.Refused != nil {
					continue
				}
				edit, err := figure.Resize(f, k.Unit, k.Units, k.Rings)
				require.NoError(t, err)
				then := f.Clone()
				if edit != nil {
					_, _, err = figure.Apply(then, edit)
					require.NoError(t, err)
				}
				size := shape.Estimate(then, p.Settings.Gauge(then.Unit))
				assert.Equal(t, []any{size.Height, size.Diameter, then.Units()}, []any{k.Height, k.Diameter, k.Total}, "%s, way %d", name, i+1)
				if i > 0 && ways[i-1].Refused == nil {
					assert.LessOrEqual(t, ways[i-1].Miss, k.Miss+0.01, "the nearest first")
				}
			}
		}
	}
}

// 12 units in a ring of A9 measure at least 28 mm across outside, which is 1.1 in (25.4 mm to the inch: international yard and pound
// agreement, 1959).
func TestSwatchTypedInInchesIsRefusedInInches(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepTube(t, kept, 3)
	tube := webtest.With(webtest.With(webtest.With(webtest.With(tubeOf12(), "tube_measure", "in"), "tube_rounding", "0.05"), "tube_diameter", "0.5"), "tube_height", "3")
	w := webtest.Ask(t, s, webtest.By('m', webtest.Post("/d/"+d.ID+"/size/swatch", tube)))
	require.Equal(t, 422, w.Code)
	assert.Regexp(t, `the swatch can be 1\.\d+ to \d+(\.\d+)? in wide`, webtest.PageText(w))
	assert.NotContains(t, w.Body.String(), `autocomplete="off" else`)
}
