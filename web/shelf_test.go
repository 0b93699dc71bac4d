package web

import (
	"bytes"
	"context"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// keeping is an app with an empty database of its own.
func keeping(t *testing.T) (*Server, *store.Store) {
	t.Helper()
	kept, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "tuckring.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	return New(Config{Store: kept, Listen: "127.0.0.1:8080", Log: quiet()}), kept
}

// lighthouse is the example of the contract.
func lighthouse(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("../internal/figure/testdata/contract-example.tuckring.json")
	require.NoError(t, err)
	return data
}

func keepLighthouse(t *testing.T, kept *store.Store) store.Design {
	t.Helper()
	f, err := figure.Read(lighthouse(t))
	require.NoError(t, err)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	return d
}

func get(path string) *http.Request { return httptest.NewRequest("GET", path, nil) }

func post(path string, values url.Values) *http.Request {
	r := httptest.NewRequest("POST", path, strings.NewReader(values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

// sendingFile is the request of a form with a chosen file.
func sendingFile(t *testing.T, path, name string, data []byte) *http.Request {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("document", name)
	require.NoError(t, err)
	_, err = part.Write(data)
	require.NoError(t, err)
	require.NoError(t, form.Close())
	r := httptest.NewRequest("POST", path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

func shelved(t *testing.T, kept *store.Store) []store.Design {
	t.Helper()
	designs, err := kept.List(context.Background(), false)
	require.NoError(t, err)
	return designs
}

// plainForm is what the form of a new figure sends when only the title was typed.
func plainForm() url.Values {
	return url.Values{"title": {"Honey jar"}, "units": {"20"}, "rings": {"16"}, "size": {"a9"}, "fold": {"doubled"},
		"ground": {"honey"}, "papers": {"soot", "chalk"}}
}

func TestNewFigureIsKept(t *testing.T) {
	s, kept := keeping(t)
	w := ask(t, s, post("/new", plainForm()))
	require.Equal(t, http.StatusSeeOther, w.Code)
	d := shelved(t, kept)[0]
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
	s, kept := keeping(t)
	for _, tt := range tests {
		form := plainForm()
		form.Set(tt.field, tt.typed)
		w := ask(t, s, post("/new", form))
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, tt.field)
		body := w.Body.String()
		assert.Contains(t, body, tt.says, tt.field)
		assert.Contains(t, body, `id="`+tt.field+`-wrong"`, tt.field)
		if tt.field != "size" && tt.field != "ground" {
			assert.Contains(t, body, `value="`+tt.typed+`"`, tt.field)
		}
	}
	assert.Empty(t, shelved(t, kept), "nothing was changed")
}

func TestTooManyUnitsInAllAreRefused(t *testing.T) {
	s, kept := keeping(t)
	form := plainForm()
	form.Set("units", "1000")
	form.Set("rings", "101") // contract: 100 000 units in all
	w := ask(t, s, post("/new", form))
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "At most 100000 are allowed.")
	assert.Empty(t, shelved(t, kept))
}

func TestOwnUnitSize(t *testing.T) {
	s, kept := keeping(t)
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
		form := plainForm()
		form.Set("size", "own")
		form.Set("fold", "single")
		form.Set("long", tt.long)
		form.Set("short", tt.short)
		w := ask(t, s, post("/new", form))
		want := http.StatusUnprocessableEntity
		if tt.ok {
			want = http.StatusSeeOther
		}
		assert.Equal(t, want, w.Code, "%s x %s", tt.long, tt.short)
	}
	assert.Len(t, shelved(t, kept), 3)
}

func TestAwkwardTitlesStayText(t *testing.T) {
	s, kept := keeping(t)
	for _, title := range []string{`<script>alert(1)</script>`, `"><img src=x onerror=y>`, "مَنارة الميناء", "🐧🏮 puffin", "{{.Title}} %s"} {
		form := plainForm()
		form.Set("title", title)
		require.Equal(t, http.StatusSeeOther, ask(t, s, post("/new", form)).Code, title)
	}
	body := ask(t, s, get("/")).Body.String()
	assert.NotContains(t, body, "<script>alert")
	assert.NotContains(t, body, "<img src=x")
	assert.Contains(t, body, "&lt;script&gt;alert(1)&lt;/script&gt;")
	assert.Contains(t, body, "مَنارة الميناء")
	assert.Contains(t, body, "🐧🏮 puffin")
	for _, d := range shelved(t, kept) {
		for _, page := range []string{"", "/share"} {
			w := ask(t, s, get("/d/"+d.ID+page))
			assert.Equal(t, 200, w.Code)
			assert.NotContains(t, w.Body.String(), "<script>alert")
			assert.NotContains(t, w.Body.String(), "<img src=x")
		}
	}
}

func TestDocumentGoesInAndComesOutTheSame(t *testing.T) {
	s, kept := keeping(t)
	w := ask(t, s, sendingFile(t, "/open", "lighthouse.tuckring.json", lighthouse(t)))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	d := shelved(t, kept)[0]
	w = ask(t, s, get("/d/"+d.ID+"/document"))
	f, err := figure.Read(lighthouse(t))
	require.NoError(t, err)
	assert.Equal(t, string(f.Write()), w.Body.String())
	assert.Equal(t, `attachment; filename=Harbour-lighthouse.tuckring.json`, w.Header().Get("Content-Disposition"))
}

func TestRefusedDocumentListsEveryFault(t *testing.T) {
	broken := strings.NewReplacer(`"takes": 4`, `"takes": 3`, `"hex": "#2b2b2e"`, `"hex": "black"`, `"tuckring": 1,`, `"tuckring": 1, "glitter": true,`).
		Replace(string(lighthouse(t)))
	s, kept := keeping(t)
	w := ask(t, s, sendingFile(t, "/open", "broken.json", []byte(broken)))
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	body := w.Body.String()
	assert.Contains(t, body, "glitter")
	assert.Contains(t, body, "colours[2].hex")
	assert.Contains(t, body, "rings[3]")
	assert.Contains(t, body, "broken.json")
	assert.Empty(t, shelved(t, kept))
}

func TestBadUploadsAreExplained(t *testing.T) {
	s, kept := keeping(t)
	cut := sendingFile(t, "/open", "a.json", lighthouse(t))
	whole, err := io.ReadAll(cut.Body)
	require.NoError(t, err)
	cut.Body = io.NopCloser(bytes.NewReader(whole[:len(whole)/2]))
	unchosen := sendingFile(t, "/open", "", nil)
	tests := []struct {
		name   string
		r      *http.Request
		status int
		says   string
	}{
		{"half a document", sendingFile(t, "/open", "a.json", lighthouse(t)[:300]), 422, "the end of the file is missing"},
		{"a body that breaks off", cut, 400, "did not arrive whole"},
		{"no file", unchosen, 422, "No file was chosen"},
		{"not a form", httptest.NewRequest("POST", "/open", strings.NewReader("{}")), 400, "not what the page’s form sends"},
		{"a picture", sendingFile(t, "/open", "cat.png", []byte("\x89PNG\r\n\x1a\n\x00\xff")), 422, "UTF-8"},
		{"too large", sendingFile(t, "/open", "big.json", make([]byte, maxBody)), 413, "Too large"},
	}
	for _, tt := range tests {
		w := ask(t, s, tt.r)
		assert.Equal(t, tt.status, w.Code, tt.name)
		assert.Contains(t, w.Body.String(), tt.says, tt.name)
	}
	assert.Empty(t, shelved(t, kept))
}

func TestTooLargeBodyOfUnknownLengthIsRefused(t *testing.T) {
	s, _ := keeping(t)
	r := sendingFile(t, "/open", "big.json", make([]byte, maxBody))
	r.ContentLength = -1 // chunked: the length shows only while reading
	w := ask(t, s, r)
	assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	assert.Contains(t, w.Body.String(), "Too large")
}

func TestPutAwayCanBeUndone(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	w := ask(t, s, post("/d/"+d.ID+"/away", nil))
	require.Equal(t, http.StatusSeeOther, w.Code)
	body := ask(t, s, get(w.Header().Get("Location"))).Body.String()
	assert.Contains(t, body, "was put away")
	assert.Contains(t, body, "One figure is put away")
	assert.Empty(t, shelved(t, kept))
	assert.Contains(t, ask(t, s, get("/away")).Body.String(), "Harbour lighthouse")

	require.Equal(t, http.StatusSeeOther, ask(t, s, post("/d/"+d.ID+"/back", nil)).Code)
	assert.Len(t, shelved(t, kept), 1)
	assert.Contains(t, ask(t, s, get("/")).Body.String(), "81 units · 5 rings")
}

func TestUnknownDesignIsExplained(t *testing.T) {
	s, _ := keeping(t)
	for _, path := range []string{"/d/nosuchdesign", "/d/nosuchdesign/share", "/d/nosuchdesign/document", "/d/nosuchdesign/picture.svg", "/v/nosuchlink", "/e/nosuchlink"} {
		w := ask(t, s, get(path))
		assert.Equal(t, http.StatusNotFound, w.Code, path)
		assert.Contains(t, w.Body.String(), "Page not found", path)
	}
}

func TestViewLinkShowsAndChangesNothing(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	base := "/v/" + link.Token

	body := ask(t, s, get(base)).Body.String()
	assert.Contains(t, body, "Harbour lighthouse")
	assert.NotContains(t, body, `href="/"`, "no way to the shelf")
	assert.NotContains(t, body, d.ID, "the design's own address stays the maker's")
	assert.Equal(t, "image/svg+xml", ask(t, s, get(base+"/picture.svg")).Header().Get("Content-Type"))

	for _, path := range []string{"/away", "/share", "/back"} {
		assert.GreaterOrEqual(t, ask(t, s, post(base+path, nil)).Code, 400, path)
	}
	assert.Equal(t, 404, ask(t, s, get("/e/"+link.Token)).Code, "a view link opens nothing to edit")
	assert.Len(t, shelved(t, kept), 1)

	require.NoError(t, kept.RevokeLink(context.Background(), d.ID, link.Token))
	assert.Equal(t, 404, ask(t, s, get(base)).Code)
}

func TestOthersReachLinksOnly(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	for path, want := range map[string]int{"/": 403, "/new": 403, "/away": 403, "/d/" + d.ID: 403, "/v/" + link.Token: 200} {
		r := get(path)
		r.RemoteAddr = "203.0.113.9:40000"
		assert.Equal(t, want, ask(t, s, r).Code, path)
	}
}

func TestPowersHoldTheOnesBefore(t *testing.T) {
	tests := []struct {
		has, needs store.Power
		want       bool
	}{
		{store.PowerView, store.PowerView, true},
		{store.PowerView, store.PowerBuild, false},
		{store.PowerView, store.PowerEdit, false},
		{store.PowerBuild, store.PowerView, true},
		{store.PowerBuild, store.PowerEdit, false},
		{store.PowerEdit, store.PowerBuild, true},
		{"", store.PowerView, false},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, access{power: tt.has}.may(tt.needs), "%s for %s", tt.has, tt.needs)
	}
}

func TestTimesAreSaidAsAPersonWould(t *testing.T) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.Local)
	assert.Equal(t, "today at 08:30", when(now.Add(-30*time.Minute), now).String())
	assert.Equal(t, "yesterday at 23:00", when(now.Add(-10*time.Hour), now).String())
	assert.Equal(t, "1 March 2026", when(time.Date(2026, 3, 1, 12, 0, 0, 0, time.Local), now).String())
}

func TestFileNames(t *testing.T) {
	for title, want := range map[string]string{
		"Harbour lighthouse": "Harbour-lighthouse",
		"../../etc/passwd":   "etc-passwd",
		"مَنارة":             "مَنارة",
		"🐧":                  "figure",
		`a"b` + "\r\nc":      "a-b-c",
	} {
		assert.Equal(t, want, fileName(title))
	}
	assert.Len(t, fileName(strings.Repeat("x", 200)), maxFileName)
}
