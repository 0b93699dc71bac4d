package shelf_test

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

func TestNewFigureIsKept(t *testing.T) {
	s, kept := webtest.Keeping(t)
	w := webtest.Ask(t, s, webtest.Post("/new", webtest.PlainForm()))
	require.Equal(t, http.StatusSeeOther, w.Code)
	d := webtest.Shelved(t, kept)[0]
	assert.Equal(t, "/d/"+d.ID, w.Header().Get("Location"))

	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, "Honey jar", f.Title)
	assert.Equal(t, 320, f.Units())
	assert.Equal(t, figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, f.Unit) // A9, ISO 216
	var ids []string
	for _, c := range f.Colours {
		ids = append(ids, c.ID)
	}
	assert.Equal(t, []string{"honey", "chalk", "soot"}, ids, "the ground first, then the ticked ones")
}

func TestRefusedFormSaysWhatWouldBeRightAndKeepsWhatWasTyped(t *testing.T) {
	tests := []struct {
		field, typed, says string
	}{
		{"title", "   ", "Write 1 to 200 characters."},
		{"title", strings.Repeat("ä", 10_000), "At most 200 characters are allowed."},
		{"units", "2", "Write a whole number from 3 to 1000."},
		{"units", "18.5", "Write a whole number from 3 to 1000."},
		{"rings", "0", "Write a whole number from 1 to 1000."},
		{"rings", "9999999999999999999999", "Write a whole number from 1 to 1000."},
		{"size", "A12", "Choose one of the options."},
		{"ground", "gold", "Choose one of the options."},
		{"own_name", strings.Repeat("x", 81), "At most 80 characters are allowed."},
	}
	s, kept := webtest.Keeping(t)
	for _, tt := range tests {
		form := webtest.PlainForm()
		form.Set(tt.field, tt.typed)
		w := webtest.Ask(t, s, webtest.Post("/new", form))
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, tt.field)
		body := w.Body.String()
		assert.Contains(t, body, tt.says, tt.field)
		assert.Contains(t, body, `id="`+tt.field+`-wrong"`, tt.field)
		if tt.field != "size" && tt.field != "ground" {
			assert.Contains(t, body, `value="`+tt.typed+`"`, tt.field)
		}
	}
	assert.Empty(t, webtest.Shelved(t, kept), "nothing was changed")
}

func TestTooManyUnitsInAllAreRefused(t *testing.T) {
	s, kept := webtest.Keeping(t)
	form := webtest.PlainForm()
	form.Set("units", "1000")
	form.Set("rings", "101") // contract: 100 000 units in all
	w := webtest.Ask(t, s, webtest.Post("/new", form))
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "At most 100000 are allowed.")
	assert.Empty(t, webtest.Shelved(t, kept))
}

func TestOwnUnitSize(t *testing.T) {
	s, kept := webtest.Keeping(t)
	tests := []struct {
		long, short string
		ok          bool
	}{
		{"80", "30", true},
		{"52", "18.5", true},
		{" 52,5 ", "37", true},
		{"1,000", "37", false}, // a comma that may part thousands
		{"37", "52", false},
		{"", "37", false},
		{"NaN", "37", false},
		{"1e2", "37", false},
		{"-52", "37", false},
	}
	for _, tt := range tests {
		form := webtest.PlainForm()
		form.Set("size", "own")
		form.Set("fold", "single")
		form.Set("long", tt.long)
		form.Set("short", tt.short)
		w := webtest.Ask(t, s, webtest.Post("/new", form))
		want := http.StatusUnprocessableEntity
		if tt.ok {
			want = http.StatusSeeOther
		}
		assert.Equal(t, want, w.Code, "%s x %s", tt.long, tt.short)
	}
	assert.Len(t, webtest.Shelved(t, kept), 3)
}

func TestAwkwardTitlesStayText(t *testing.T) {
	s, kept := webtest.Keeping(t)
	for _, title := range []string{`<script>alert(1)</script>`, `"><img src=x onerror=y>`, "مَنارة الميناء", "🐧🏮 puffin", "{{.Title}} %s"} {
		form := webtest.PlainForm()
		form.Set("title", title)
		require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/new", form)).Code, title)
	}
	body := webtest.Ask(t, s, webtest.Get("/")).Body.String()
	assert.NotContains(t, body, "<script>alert")
	assert.NotContains(t, body, "<img src=x")
	assert.Contains(t, body, "&lt;script&gt;alert(1)&lt;/script&gt;")
	assert.Contains(t, body, "مَنارة الميناء")
	assert.Contains(t, body, "🐧🏮 puffin")
	for _, d := range webtest.Shelved(t, kept) {
		for _, page := range []string{"", "/share"} {
			w := webtest.Ask(t, s, webtest.Get("/d/"+d.ID+page))
			assert.Equal(t, 200, w.Code)
			assert.NotContains(t, w.Body.String(), "<script>alert")
			assert.NotContains(t, w.Body.String(), "<img src=x")
		}
	}
}

func TestRefusedDocumentListsEveryFault(t *testing.T) {
	broken := strings.NewReplacer(`"takes": 4`, `"takes": 3`, `"hex": "#2b2b2e"`, `"hex": "black"`, `"tuckring": 1,`, `"tuckring": 1, "glitter": true,`).
		Replace(string(webtest.Lighthouse(t)))
	s, kept := webtest.Keeping(t)
	w := webtest.Ask(t, s, webtest.SendingFile(t, "/open", "broken.json", []byte(broken)))
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	body := w.Body.String()
	assert.Contains(t, body, "glitter")
	assert.Contains(t, body, "colours[2].hex")
	assert.Contains(t, body, "rings[3]")
	assert.Contains(t, body, "broken.json")
	assert.Empty(t, webtest.Shelved(t, kept))
}

func TestBadUploadsAreExplained(t *testing.T) {
	s, kept := webtest.Keeping(t)
	cut := webtest.SendingFile(t, "/open", "a.json", webtest.Lighthouse(t))
	whole, err := io.ReadAll(cut.Body)
	require.NoError(t, err)
	cut.Body = io.NopCloser(bytes.NewReader(whole[:len(whole)/2]))
	unchosen := webtest.SendingFile(t, "/open", "", nil)
	tests := []struct {
		name   string
		r      *http.Request
		status int
		says   string
	}{
		{"half a document", webtest.SendingFile(t, "/open", "a.json", webtest.Lighthouse(t)[:300]), 422, "the end of the file is missing"},
		{"a body that breaks off", cut, 400, "did not arrive whole"},
		{"no file", unchosen, 422, "No file was chosen"},
		{"not a form", httptest.NewRequest("POST", "/open", strings.NewReader("{}")), 400, "not what the page’s form sends"},
		{"a picture", webtest.SendingFile(t, "/open", "cat.png", []byte("\x89PNG\r\n\x1a\n\x00\xff")), 422, "UTF-8"},
		{"too large", webtest.SendingFile(t, "/open", "big.json", make([]byte, kernel.MaxBody)), 413, "Too large"},
	}
	for _, tt := range tests {
		w := webtest.Ask(t, s, tt.r)
		assert.Equal(t, tt.status, w.Code, tt.name)
		assert.Contains(t, w.Body.String(), tt.says, tt.name)
	}
	assert.Empty(t, webtest.Shelved(t, kept))
}

func TestTooLargeBodyOfUnknownLengthIsRefused(t *testing.T) {
	s, _ := webtest.Keeping(t)
	r := webtest.SendingFile(t, "/open", "big.json", make([]byte, kernel.MaxBody))
	r.ContentLength = -1 // chunked: the length shows only while reading
	w := webtest.Ask(t, s, r)
	assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	assert.Contains(t, w.Body.String(), "Too large")
}

func TestPutAwayCanBeUndone(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	w := webtest.Ask(t, s, webtest.Post("/d/"+d.ID+"/away", nil))
	require.Equal(t, http.StatusSeeOther, w.Code)
	body := webtest.Ask(t, s, webtest.Get(w.Header().Get("Location"))).Body.String()
	assert.Contains(t, body, "was put away")
	assert.Contains(t, body, "One figure is put away")
	assert.Empty(t, webtest.Shelved(t, kept))
	assert.Contains(t, webtest.Ask(t, s, webtest.Get("/away")).Body.String(), "Harbour lighthouse")

	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/d/"+d.ID+"/back", nil)).Code)
	assert.Len(t, webtest.Shelved(t, kept), 1)
	assert.Contains(t, webtest.Ask(t, s, webtest.Get("/")).Body.String(), "81 units · 5 rings")
}

func TestUnknownDesignIsExplained(t *testing.T) {
	s, _ := webtest.Keeping(t)
	for _, path := range []string{"/d/nosuchdesign", "/d/nosuchdesign/share", "/d/nosuchdesign/document", "/d/nosuchdesign/picture.svg", "/v/nosuchlink", "/e/nosuchlink"} {
		w := webtest.Ask(t, s, webtest.Get(path))
		assert.Equal(t, http.StatusNotFound, w.Code, path)
		assert.Contains(t, w.Body.String(), "Page not found", path)
	}
}
