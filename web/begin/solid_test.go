package begin_test

import (
	"bytes"
	"encoding/binary"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/solid/solidtest"
	"tuckring/internal/store"
	"tuckring/web/webtest"
)

type file struct {
	name string
	data []byte
}

func sendSolid(t *testing.T, s http.Handler, title string, files ...file) *httptest.ResponseRecorder {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	require.NoError(t, form.WriteField("title", title))
	for _, f := range files {
		part, err := form.CreateFormFile("file", f.name)
		require.NoError(t, err)
		_, err = part.Write(f.data)
		require.NoError(t, err)
	}
	require.NoError(t, form.Close())
	r := httptest.NewRequest("POST", "/new/solid", &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return webtest.Ask(t, s, r)
}

// A solid is opened, looked at with other settings, and taken, all without scripts.
func TestSolidBecomesAFigure(t *testing.T) {
	s, kept := webtest.Keeping(t)
	w := sendSolid(t, s, "", file{"Watch owl.glb", solidtest.Owl().GLB()})
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	at, err := url.Parse(w.Header().Get("Location"))
	require.NoError(t, err)
	q := at.Query()
	assert.Equal(t, "Watch owl", q.Get("title"))
	assert.Contains(t, q["papers"], "soot", "papers that suit the owl are ticked")
	page := webtest.ReadPage(t, s, at.String(), http.StatusOK)
	assert.Contains(t, page, "Right limb 1")
	assert.Contains(t, page, "GLB of 33600 triangles")
	q.Set("height", "18")
	q.Set("around", "24")
	q["limb"] = []string{"0", "1"}
	assert.Contains(t, webtest.ReadPage(t, s, at.Path+"?"+q.Encode(), http.StatusOK), "in the widest")
	stands := webtest.Ask(t, s, webtest.Get(at.Path+"/stand.bin?"+q.Encode()))
	require.Equal(t, http.StatusOK, stands.Code)
	assert.Equal(t, byte('{'), stands.Body.Bytes()[4])
	mesh := webtest.Ask(t, s, webtest.Get(at.Path+"/mesh.bin?"+q.Encode())).Body.Bytes()
	corners, triangles := binary.LittleEndian.Uint32(mesh), binary.LittleEndian.Uint32(mesh[4:])
	assert.Len(t, mesh, int(8+15*corners+12*triangles))
	assert.Empty(t, webtest.Shelved(t, kept))
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(at.Path, q)).Code)
	f := only(t, kept)
	assert.Nil(t, outline.Warns(f, shape.FromMemory(f.Unit)))
	assert.Len(t, f.Parts, 3)
	assert.Greater(t, f.Unit.LongMM, 52.0, "fewer units around are larger")
}

func TestSolidsWithTheirMaterials(t *testing.T) {
	s, _ := webtest.Keeping(t)
	obj := "mtllib buoy.mtl\nusemtl red\n" + string(solidtest.Cylinder(60, 120, 24, 4).OBJ())
	w := sendSolid(t, s, "Buoy", file{"buoy.mtl", []byte("newmtl red\nKd 0.65 0.23 0.17\n")}, file{`C:\models\buoy.obj`, []byte(obj)})
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	assert.Contains(t, w.Header().Get("Location"), "ground=brick")
}

func TestSolidsThatNothingCanBeMadeOfAreRefused(t *testing.T) {
	s, kept := webtest.Keeping(t)
	for _, c := range []struct {
		says  string
		files []file
	}{
		{"Choose an STL, OBJ, PLY or GLB.", nil},
		{"This is not a solid that can be read.", []file{{"words.stl", []byte("Dear library")}}},
		{"the file has room for", []file{{"cut.stl", solidtest.Cylinder(60, 120, 24, 4).STL()[:500]}}},
	} {
		w := sendSolid(t, s, "Buoy", c.files...)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, c.says)
		assert.Contains(t, w.Body.String(), c.says)
	}
	at := sendSolid(t, s, "Buoy", file{"buoy.stl", solidtest.Cylinder(60, 120, 24, 4).STL()}).Header().Get("Location")
	for field, says := range map[string]string{"height=NaN": "Write a length from 1 to 500 cm", "around=2": "Write a whole number from 6", "around=900": "100000 are the most", "turn=999": "Write degrees from", "up=w": "Choose one", "height=1.1": "less than two rings", "title=": "1 to 200 characters"} {
		name, typed, _ := strings.Cut(field, "=")
		address, err := url.Parse(at)
		require.NoError(t, err)
		q := address.Query()
		q.Set(name, typed)
		page := webtest.ReadPage(t, s, address.Path+"?"+q.Encode(), http.StatusUnprocessableEntity)
		assert.Equal(t, 1, strings.Count(page, says), field)
		assert.Contains(t, page, `id="`+name+`-wrong"`)
		w := webtest.Ask(t, s, webtest.Post(address.Path, q))
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, field)
		assert.Equal(t, http.StatusBadRequest, webtest.Ask(t, s, webtest.Get(address.Path+"/mesh.bin?"+q.Encode())).Code, field)
	}
	// What no setting is to blame for is said where the figure would be, and beside no field.
	sheet := &solidtest.Solid{Vertices: [][3]float64{{0, 0, 0}, {100, 0, 0}, {100, 100, 0}, {0, 100, 0}}, Triangles: [][3]int{{0, 1, 2}, {0, 2, 3}}}
	at = sendSolid(t, s, "Sheet", file{"sheet.stl", sheet.STL()}).Header().Get("Location")
	page := webtest.ReadPage(t, s, at, http.StatusUnprocessableEntity)
	assert.Equal(t, 1, strings.Count(page, "has no body that rings could go around"))
	assert.NotContains(t, page, `aria-invalid`)
	assert.Contains(t, webtest.ReadPage(t, s, at+"&up=y", http.StatusUnprocessableEntity), `id="up-wrong"`)
	assert.Contains(t, webtest.ReadPage(t, s, "/new/solid/none", http.StatusNotFound), "no longer kept")
	assert.Empty(t, webtest.Shelved(t, kept))
}

// Whoever has measured a swatch begins with figures of the size that units have in that hand, and the report says so too.
func TestFiguresBeginInTheMakersOwnHand(t *testing.T) {
	s, kept := webtest.Keeping(t)
	send := func() string {
		at := sendSolid(t, s, "Buoy", file{"buoy.stl", solidtest.Cylinder(80, 160, 64, 8).STL()}).Header().Get("Location")
		return webtest.ReadPage(t, s, at, http.StatusOK)
	}
	assert.Contains(t, send(), "37 units in the widest") // π · 80 · 250/160 = 393 mm around, 10.73 mm a unit (from memory)
	wish := "/new?" + url.Values{"begin": {"wish"}, "height": {"25"}, "width": {"16"}, "shape": {"tube"}, "sheet": {"A4"}}.Encode()
	assert.Contains(t, webtest.ReadPage(t, s, wish, http.StatusOK), "estimates from memory; measure a swatch")
	_, err := kept.AddCalibration(t.Context(), store.Calibration{Name: "Loose hand", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, Units: 12, Rings: 6, DiameterMM: 90, HeightMM: 90, RoundingMM: 1})
	require.NoError(t, err)
	loose := send()
	assert.NotContains(t, loose, "37 units in the widest")
	assert.Contains(t, webtest.ReadPage(t, s, wish, http.StatusOK), "by your swatch “Loose hand”")
	form := url.Values{"begin": {"shape"}, "title": {"Egg"}, "shape": {"egg"}, "units": {"24"}, "size": {"a9"}, "fold": {"doubled"}, "ground": {"chalk"}}
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/new", form)).Code)
	list, err := kept.List(t.Context(), false)
	require.NoError(t, err)
	require.NoError(t, kept.Look(t.Context(), list[0].ID, func(n store.Now) error {
		settings, err := report.ReadSettings(n.Settings)
		require.NoError(t, err)
		assert.Equal(t, "Loose hand", settings.Swatch.Name)
		return nil
	}))
}
