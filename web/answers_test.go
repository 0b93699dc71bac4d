package web_test

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/web/webtest"
)

// RFC 9110, 13.1.2 and 15.4.5: who has the present picture is told so, and nothing more.
func TestAPictureIsSentAgainOnlyWhenTheFigureChanged(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	for _, name := range []string{"picture.svg", "pattern.svg", "figure.svg", "figure.glb", "stand.bin"} {
		path := "/d/" + d.ID + "/" + name
		first := webtest.Ask(t, s, webtest.Get(path))
		require.Equal(t, 200, first.Code, name)
		tag := first.Header().Get("ETag")
		require.NotEmpty(t, tag, name)
		again := webtest.Ask(t, s, webtest.Asking(path, "If-None-Match", `"other", `+tag))
		assert.Equal(t, http.StatusNotModified, again.Code, name)
		assert.Empty(t, again.Body.String(), name)
		assert.Equal(t, first.Body.String(), webtest.Ask(t, s, webtest.Get(path)).Body.String(), name)
	}
	path := "/d/" + d.ID + "/pattern.svg"
	before := webtest.Ask(t, s, webtest.Get(path))
	webtest.Edit(t, s, "/d/"+d.ID, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":20,"colour":"soot"}]}`)
	after := webtest.Ask(t, s, webtest.Asking(path, "If-None-Match", before.Header().Get("ETag")))
	assert.Equal(t, 200, after.Code)
	assert.NotEqual(t, before.Body.String(), after.Body.String())
	assert.Contains(t, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/figure.glb")).Header().Get("Content-Disposition"), ".glb", "a kept model is a file too")
	icon := webtest.Ask(t, s, webtest.Get("/static/0123456789ab/icon.svg"))
	assert.Equal(t, http.StatusNotModified, webtest.Ask(t, s, webtest.Asking("/static/0123456789ab/icon.svg", "If-None-Match", icon.Header().Get("ETag"))).Code)
}

func TestABodyThatDoesNotComeIsCut(t *testing.T) {
	_, kept := webtest.Keeping(t)
	home := webtest.Running(t, kept, 200*time.Millisecond)
	line, err := net.Dial("tcp", strings.TrimPrefix(home, "http://"))
	require.NoError(t, err)
	defer func() { _ = line.Close() }()
	_, err = fmt.Fprintf(line, "POST /new HTTP/1.1\r\nHost: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\ntitle=", strings.TrimPrefix(home, "http://"))
	require.NoError(t, err)
	require.NoError(t, line.SetReadDeadline(time.Now().Add(30*time.Second)))
	answer, err := io.ReadAll(line) // it ends by itself, long before that
	require.NoError(t, err)
	assert.NotContains(t, string(answer), "200 OK")
	ok, err := http.Get(home + "/")
	require.NoError(t, err)
	_ = ok.Body.Close()
	assert.Equal(t, 200, ok.StatusCode)
}

// RFC 9110, 9.3.2: HEAD is answered like GET, without the content.
func TestHeadOfAFiguresPages(t *testing.T) {
	_, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	home := webtest.Running(t, kept, 0)
	for _, path := range []string{"/", "/d/" + d.ID, "/d/" + d.ID + "/report", "/d/" + d.ID + "/picture.svg", "/d/" + d.ID + "/events?since=0", "/robots.txt"} {
		answer, err := http.Head(home + path)
		require.NoError(t, err, path)
		body, err := io.ReadAll(answer.Body)
		require.NoError(t, err, path)
		_ = answer.Body.Close()
		assert.Equal(t, 200, answer.StatusCode, path)
		assert.Empty(t, body, path)
	}
}

func TestSearchEnginesStayAway(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	robots := webtest.Ask(t, s, webtest.Get("/robots.txt"))
	assert.Equal(t, "User-agent: *\nDisallow: /\n", robots.Body.String()) // RFC 9309
	assert.Equal(t, "noindex, nofollow", webtest.Ask(t, s, webtest.Get("/d/"+d.ID)).Header().Get("X-Robots-Tag"))
}

func TestCostlyPagesAreKeptUntilTheFigureChanges(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	for i, path := range webtest.CostlyPages {
		if path == "/report/parts.csv" {
			path = "/report/" + tableKey(t, kept, d.ID) + ".csv"
		}
		base := "/d/" + d.ID
		first := webtest.Ask(t, s, webtest.Get(base+path))
		require.Equal(t, 200, first.Code, path)
		tag := first.Header().Get("ETag")
		require.NotEmpty(t, tag, path)
		second := webtest.Ask(t, s, webtest.Get(base+path))
		assert.Equal(t, first.Body.Bytes(), second.Body.Bytes(), path)
		assert.Equal(t, first.Header(), second.Header(), path)
		assert.Equal(t, 304, webtest.Ask(t, s, webtest.Asking(base+path, "If-None-Match", tag)).Code, path)
		guest := webtest.Ask(t, s, webtest.Get("/e/"+link.Token+path))
		assert.NotContains(t, guest.Body.String(), base, "%s: each sees their own addresses", path)
		webtest.Edit(t, s, base, 'm', int(revOf(t, kept, d.ID))+1, `{"do":"set_title","title":"Tower `+fmt.Sprint(i)+`"}`)
		changed := webtest.Ask(t, s, webtest.Asking(base+path, "If-None-Match", tag))
		require.Equal(t, 200, changed.Code, path)
		assert.NotEqual(t, tag, changed.Header().Get("ETag"), path)
		require.NoError(t, kept.SetSettings(t.Context(), d.ID, fmt.Appendf(nil, `{"people":%d}`, 2+i)))
		assert.Equal(t, 200, webtest.Ask(t, s, webtest.Asking(base+path, "If-None-Match", changed.Header().Get("ETag"))).Code, path)
	}
	assert.Equal(t, 422, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/kits?people=none")).Code, "a refusal is a page, but not kept")
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/report/none.csv")).Code)
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get("/d/none/report")).Code)
}

func revOf(t *testing.T, kept *store.Store, id string) int64 {
	t.Helper()
	d, _, err := kept.Get(t.Context(), id)
	require.NoError(t, err)
	return d.Rev
}

// tableKey is the key of some table of the report.
func tableKey(t *testing.T, kept *store.Store, id string) string {
	t.Helper()
	_, f, err := kept.Get(t.Context(), id)
	require.NoError(t, err)
	made, err := report.Make(t.Context(), f, report.DefaultSettings())
	require.NoError(t, err)
	return made.Tables()[0].Key
}
