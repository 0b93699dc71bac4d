package begin_test

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/picture"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/web/begin"
	"tuckring/web/webtest"
)

// only is the one figure on the shelf.
func only(t *testing.T, kept *store.Store) *figure.Figure {
	t.Helper()
	shelf := webtest.Shelved(t, kept)
	require.Len(t, shelf, 1)
	_, f, err := kept.Get(context.Background(), shelf[0].ID)
	require.NoError(t, err)
	return f
}

func TestEveryDoorOpens(t *testing.T) {
	s, kept := webtest.Keeping(t)
	webtest.KeepTube(t, kept, 3)
	for _, d := range begin.Doors {
		page := webtest.ReadPage(t, s, "/new?begin="+d.Key, http.StatusOK)
		assert.Regexp(t, `aria-current="page"[^>]*>.*?<span>`+regexp.QuoteMeta(d.Name().String()), page)
	}
	assert.Contains(t, webtest.ReadPage(t, s, "/new?begin=attic", http.StatusOK), "plain tube", "a door that is not there leads to the first")
	for _, k := range outline.Shapes {
		w := webtest.Ask(t, s, webtest.Get("/new/shapes/"+k.Key+".svg"))
		require.Equal(t, http.StatusOK, w.Code)
		assert.Less(t, w.Body.Len(), 120_000, k.Key)
	}
	assert.Equal(t, http.StatusNotFound, webtest.Ask(t, s, webtest.Get("/new/shapes/attic.svg")).Code)
}

func shapeForm() url.Values {
	form := webtest.PlainForm()
	form.Set("begin", "shape")
	form.Set("shape", "owl")
	form.Set("units", "24")
	form.Set("rings", "")
	return form
}

func TestShapeIsMadeAndHolds(t *testing.T) {
	s, kept := webtest.Keeping(t)
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/new", shapeForm())).Code)
	f := only(t, kept)
	assert.Nil(t, outline.Warns(f, shape.FromMemory(f.Unit)))
	widest := 0
	for _, r := range f.Rings {
		widest = max(widest, len(r.Cells))
	}
	assert.Equal(t, 24, widest)
	assert.Greater(t, len(f.Rings), 12, "the shape decides how many rings it has")
}

func TestShapeThatCannotBeIsRefusedBesideItsField(t *testing.T) {
	s, kept := webtest.Keeping(t)
	for _, c := range []struct{ field, typed, says string }{
		{"shape", "dragon", "Choose one of the options."},
		{"units", "7", "Write a whole number from 8 to 1000."},
		{"rings", "3", "Write a whole number from 4 to 1000."},
		{"rings", "NaN", "Write a whole number from 4 to 1000."},
		{"title", "", "Write 1 to 200 characters."},
	} {
		form := shapeForm()
		form.Set(c.field, c.typed)
		w := webtest.Ask(t, s, webtest.Post("/new", form))
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, c.field)
		assert.Contains(t, w.Body.String(), c.says)
		assert.Contains(t, w.Body.String(), `id="`+c.field+`-wrong"`)
	}
	form := shapeForm()
	form.Set("units", "1000")
	form.Set("rings", "101")
	assert.Contains(t, webtest.Ask(t, s, webtest.Post("/new", form)).Body.String(), "At most 100000 are allowed.")
	assert.Empty(t, webtest.Shelved(t, kept))
}

// About 25 cm tall, round like an owl: each way says what it takes, and the figure that is made has these units.
func TestWishIsFoundAndMade(t *testing.T) {
	s, kept := webtest.Keeping(t)
	page := webtest.ReadPage(t, s, "/new?begin=wish&title=Watch+owl&height=25&width=16&shape=owl&sheet=A4", http.StatusOK)
	ways := regexp.MustCompile(`Begin with (\d+) units`).FindAllStringSubmatch(page, -1)
	require.Len(t, ways, 3)
	assert.Regexp(t, `\d+ sheets of A4`, page)
	form := url.Values{}
	for _, m := range regexp.MustCompile(`<input type="hidden" name="(\w+)" value="([^"]*)">`).FindAllStringSubmatch(page[regexp.MustCompile(`class="ways"`).FindStringIndex(page)[0]:], -1) {
		if m[1] == "begin" && form.Has("begin") {
			break // the next way
		}
		form.Add(m[1], m[2])
	}
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/new", form)).Code)
	f := only(t, kept)
	assert.Equal(t, "Watch owl", f.Title)
	assert.Equal(t, ways[0][1], strconv.Itoa(f.Units()))
	for _, wish := range []string{"height=0&width=16&shape=owl&sheet=A4", "height=25&width=1e9&shape=owl&sheet=A4", "height=25&width=16&shape=cube&sheet=A4", "height=25&width=16&shape=owl&sheet=B99", "height="} {
		w := webtest.Ask(t, s, webtest.Get("/new?begin=wish&"+wish))
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, wish)
	}
}

func TestCopyStandsBesideTheFirst(t *testing.T) {
	s, kept := webtest.Keeping(t)
	first := webtest.KeepLighthouse(t, kept)
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/new", url.Values{"begin": {"copy"}, "of": {first.ID}})).Code)
	shelf := webtest.Shelved(t, kept)
	require.Len(t, shelf, 2)
	var titles []string
	for _, d := range shelf {
		_, f, err := kept.Get(context.Background(), d.ID)
		require.NoError(t, err)
		titles = append(titles, f.Title)
		f.Title = "alike"
		assert.Equal(t, 79, f.Units())
	}
	assert.ElementsMatch(t, []string{first.Title, first.Title + ", copy"}, titles)
	assert.Equal(t, http.StatusNotFound, webtest.Ask(t, s, webtest.Post("/new", url.Values{"begin": {"copy"}, "of": {"none"}})).Code)
}

// pear is a picture of a pear-shaped motif on white: wide below, narrow above.
func pear(t *testing.T) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 200, 260))
	for y := range 260 {
		half := 0.0
		if y >= 20 && y < 250 {
			half = 30 + 50*math.Sin(math.Pi/2*float64(y-20)/230)
		}
		for x := range 200 {
			c := color.NRGBA{255, 255, 255, 255}
			if math.Abs(float64(x)-100) < half {
				c = color.NRGBA{0xa6, 0x3a, 0x2b, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	var out bytes.Buffer
	require.NoError(t, png.Encode(&out, img))
	return out.Bytes()
}

func sendPicture(t *testing.T, s http.Handler, fields url.Values, file []byte) *httptest.ResponseRecorder {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, values := range fields {
		for _, v := range values {
			require.NoError(t, form.WriteField(name, v))
		}
	}
	part, err := form.CreateFormFile("file", "pear.png")
	require.NoError(t, err)
	_, err = part.Write(file)
	require.NoError(t, err)
	require.NoError(t, form.Close())
	r := httptest.NewRequest("POST", "/new/picture", &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return webtest.Ask(t, s, r)
}

func pictureFields() url.Values {
	return url.Values{"title": {"Pear"}, "units": {"24"}, "colours": {"3"}, "size": {"a9"}, "way": {"outline"}}
}

func TestPictureBecomesAFigureOfItsOutline(t *testing.T) {
	s, kept := webtest.Keeping(t)
	w := sendPicture(t, s, pictureFields(), pear(t))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	f := only(t, kept)
	assert.Nil(t, outline.Warns(f, shape.FromMemory(f.Unit)))
	assert.Greater(t, len(f.Rings[1].Cells), len(f.Rings[len(f.Rings)-2].Cells)+4, "wide below, narrow above")
	assert.LessOrEqual(t, len(f.Colours), 3)
	brick := 0
	for _, r := range f.Rings {
		for _, c := range r.Cells {
			if f.Colours[c.Colour].ID == "brick" {
				brick++
			}
		}
	}
	assert.Greater(t, brick, f.Units()*8/10, "the motif goes on around the back")
}

// Without scripts nothing makes a photo smaller before it is sent.
func TestPicturesMayBeAsLargeAsAnyThatIsRead(t *testing.T) {
	s, kept := webtest.Keeping(t)
	w := sendPicture(t, s, pictureFields(), append(pear(t), make([]byte, 6<<20)...))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	only(t, kept)
	w = sendPicture(t, s, pictureFields(), append(pear(t), make([]byte, picture.MaxBytes)...))
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "larger than 32 MiB")
	for address, says := range map[string]string{"/new/picture": "or as a JPEG", "/new/solid": "with fewer triangles"} {
		for _, length := range []int64{66 << 20, -1} { // said and not said
			r := httptest.NewRequest("POST", address, io.MultiReader(strings.NewReader("--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a\"\r\n\r\n"), bytes.NewReader(make([]byte, 66<<20))))
			r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
			r.ContentLength = length
			w = webtest.Ask(t, s, r)
			assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
			assert.Contains(t, w.Body.String(), says)
			assert.NotContains(t, w.Body.String(), "tuckring.json")
		}
	}
}

func TestPicturesThatNothingCanBeMadeOfAreRefused(t *testing.T) {
	s, kept := webtest.Keeping(t)
	for _, c := range []struct {
		field, typed string
		file         []byte
		says         string
	}{
		{"title", "", pear(t), "Write 1 to 200 characters."},
		{"units", "201", pear(t), "Write a whole number from 8 to 200."},
		{"colours", "1", pear(t), "Write a whole number from 2 to 12."},
		{"way", "inside", pear(t), "Choose one of the options."},
		{"title", "Pear", nil, "Choose a picture."},
		{"title", "Pear", []byte("no picture"), "PNG"},
		{"title", "Pear", make([]byte, picture.MaxBytes+1), "32 MiB"},
		{"title", "Pear", plainPNG(t), "There is nothing in the picture that stands out"},
	} {
		fields := pictureFields()
		fields.Set(c.field, c.typed)
		w := sendPicture(t, s, fields, c.file)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, c.says)
		assert.Contains(t, w.Body.String(), c.says)
	}
	assert.Empty(t, webtest.Shelved(t, kept))
}

func plainPNG(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, png.Encode(&out, image.NewGray(image.Rect(0, 0, 80, 80))))
	return out.Bytes()
}
