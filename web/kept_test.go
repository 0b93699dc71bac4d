package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

func asking(path string, headers ...string) *http.Request {
	r := get(path)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

// RFC 9110, 13.1.2 and 15.4.5: who has the present picture is told so, and nothing more.
func TestAPictureIsSentAgainOnlyWhenTheFigureChanged(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	for _, name := range []string{"picture.svg", "pattern.svg", "figure.svg", "figure.glb", "stand.bin"} {
		path := "/d/" + d.ID + "/" + name
		first := ask(t, s, get(path))
		require.Equal(t, 200, first.Code, name)
		tag := first.Header().Get("ETag")
		require.NotEmpty(t, tag, name)
		again := ask(t, s, asking(path, "If-None-Match", `"other", `+tag))
		assert.Equal(t, http.StatusNotModified, again.Code, name)
		assert.Empty(t, again.Body.String(), name)
		assert.Equal(t, first.Body.String(), ask(t, s, get(path)).Body.String(), name)
	}
	path := "/d/" + d.ID + "/pattern.svg"
	before := ask(t, s, get(path))
	edit(t, s, "/d/"+d.ID, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":20,"colour":"soot"}]}`)
	after := ask(t, s, asking(path, "If-None-Match", before.Header().Get("ETag")))
	assert.Equal(t, 200, after.Code)
	assert.NotEqual(t, before.Body.String(), after.Body.String())
	assert.Contains(t, ask(t, s, get("/d/"+d.ID+"/figure.glb")).Header().Get("Content-Disposition"), ".glb", "a kept model is a file too")
	icon := ask(t, s, get("/static/0123456789ab/icon.svg"))
	assert.Equal(t, http.StatusNotModified, ask(t, s, asking("/static/0123456789ab/icon.svg", "If-None-Match", icon.Header().Get("ETag"))).Code)
}

func TestCostlyAnswersAreMadeOneAtATime(t *testing.T) {
	a := newAnswers()
	var busy, most, made atomic.Int64
	var all sync.WaitGroup
	for i := range 24 {
		all.Go(func() {
			body, err := a.get(context.Background(), fmt.Sprint(i%8), func() ([]byte, error) {
				most.Store(max(most.Load(), busy.Add(1)))
				defer busy.Add(-1)
				made.Add(1)
				time.Sleep(2 * time.Millisecond)
				return []byte(fmt.Sprint("answer ", i%8)), nil
			})
			assert.NoError(t, err)
			assert.Equal(t, fmt.Sprint("answer ", i%8), string(body))
		})
	}
	all.Wait()
	assert.EqualValues(t, 1, most.Load(), "made at the same time")
	assert.EqualValues(t, 8, made.Load(), "each is made once")
}

func TestKeptAnswersStayWithinTheirRoom(t *testing.T) {
	a := newAnswers()
	for i := range 20 {
		body, err := a.get(context.Background(), fmt.Sprint(i), func() ([]byte, error) { return make([]byte, keepAnswer), nil })
		require.NoError(t, err)
		assert.Len(t, body, keepAnswer)
		assert.LessOrEqual(t, a.bytes, keepAnswers)
		assert.Len(t, a.of, a.order.Len())
	}
	_, oldest := a.look("0")
	_, latest := a.look("19")
	assert.False(t, oldest)
	assert.True(t, latest)
	_, err := a.get(context.Background(), "huge", func() ([]byte, error) { return make([]byte, keepAnswer+1), nil })
	require.NoError(t, err)
	_, huge := a.look("huge")
	assert.False(t, huge, "too large to be kept")
	gone, cancel := context.WithCancel(context.Background())
	a.turn <- struct{}{}
	cancel()
	_, err = a.get(gone, "never", func() ([]byte, error) { return nil, nil })
	assert.ErrorIs(t, err, context.Canceled)
}

// running is the app on a real connection.
func running(t *testing.T, kept *store.Store, body time.Duration) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	app := New(Config{Store: kept, Listen: l.Addr().String(), Log: quiet(), Body: body})
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- app.Serve(ctx, l) }()
	t.Cleanup(func() { stop(); <-done })
	return "http://" + l.Addr().String()
}

func TestAnEndedLinkIsToldNothingMore(t *testing.T) {
	_, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	home := running(t, kept, 0)
	stream, err := http.Get(home + "/v/" + link.Token + "/events?since=0&client=" + testPage)
	require.NoError(t, err)
	defer func() { _ = stream.Body.Close() }()
	lines := bufio.NewReader(stream.Body)
	_, err = lines.ReadString('\n')
	require.NoError(t, err)

	off, err := http.Post(home+"/d/"+d.ID+"/share/"+link.Token+"/revoke", "application/x-www-form-urlencoded", nil)
	require.NoError(t, err)
	_ = off.Body.Close()
	step, err := http.Post(home+"/d/"+d.ID+"/edits", "application/json",
		strings.NewReader(`{"client":"`+testPage+`","steps":[{"seq":1,"edit":{"do":"set_title","title":"Secret from now on"}}]}`))
	require.NoError(t, err)
	require.Equal(t, 200, step.StatusCode)
	_ = step.Body.Close()
	rest, err := io.ReadAll(lines) // ends, since the stream does
	require.NoError(t, err)
	assert.NotContains(t, string(rest), "Secret")
	again, err := http.Get(home + "/v/" + link.Token + "/events?since=0&client=" + testPage)
	require.NoError(t, err)
	_ = again.Body.Close()
	assert.Equal(t, 404, again.StatusCode)
}

func TestABodyThatDoesNotComeIsCut(t *testing.T) {
	_, kept := keeping(t)
	home := running(t, kept, 200*time.Millisecond)
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
	_, kept := keeping(t)
	d := keepLighthouse(t, kept)
	home := running(t, kept, 0)
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
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	robots := ask(t, s, get("/robots.txt"))
	assert.Equal(t, "User-agent: *\nDisallow: /\n", robots.Body.String()) // RFC 9309
	assert.Equal(t, "noindex, nofollow", ask(t, s, get("/d/"+d.ID)).Header().Get("X-Robots-Tag"))
}

// RFC 9110, 12.4.2: a quality of 0 means "not acceptable".
func TestGzipIsSentOnlyToWhomTakesIt(t *testing.T) {
	s := bareServer()
	for accept, packed := range map[string]bool{"gzip": true, "br, gzip;q=0.5": true, "gzip;q=0": false, "gzip;q=0, br": false, "": false, "identity": false} {
		r := httptest.NewRequest("GET", s.staticURL("build/base.css"), nil)
		r.Header.Set("Accept-Encoding", accept)
		w := ask(t, s, r)
		assert.Equal(t, packed, w.Header().Get("Content-Encoding") == "gzip", accept)
	}
}

// What something on this machine passes on for somebody elsewhere is not the maker's (RFC 7239).
func TestWhatIsPassedOnDoesNotComeFromHere(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	for _, name := range []string{"Forwarded", "X-Forwarded-For", "X-Real-IP", "Via"} {
		assert.Equal(t, 403, ask(t, s, asking("/", name, "203.0.113.9")).Code, name)
		assert.Equal(t, 403, ask(t, s, asking("/d/"+d.ID, name, "203.0.113.9")).Code, name)
	}
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	assert.Equal(t, 200, ask(t, s, asking("/v/"+link.Token, "X-Forwarded-For", "203.0.113.9")).Code)
}

func TestAGuestDoesNotSeeTheMakersTubes(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	c, err := kept.AddCalibration(t.Context(), store.Calibration{Name: "My kitchen table", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, Units: 12, Rings: 6, DiameterMM: 60, HeightMM: 60, RoundingMM: 1})
	require.NoError(t, err)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	assert.Contains(t, ask(t, s, get("/d/"+d.ID+"/size")).Body.String(), "My kitchen table")
	assert.NotContains(t, ask(t, s, get("/e/"+link.Token+"/size")).Body.String(), "My kitchen table")
	used := ask(t, s, post("/e/"+link.Token+"/size/use", map[string][]string{"calibration": {fmt.Sprint(c.ID)}}))
	assert.Equal(t, 403, used.Code)
}
