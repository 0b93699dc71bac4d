package web_test

import (
	"bufio"
	"context"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/faultdisk"
	"tuckring/internal/store"
	"tuckring/web"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

func TestFullDiskIsNoMistakeOfOurs(t *testing.T) {
	p := kernel.ProblemFrom(fmt.Errorf("a step: %w", &store.Error{Code: store.Full}))
	assert.Equal(t, 507, p.Status()) // RFC 4918, 11.5
	assert.NotContains(t, p.Title.String()+p.What.String()+p.Fix.String(), "[")
	path := filepath.Join(t.TempDir(), "tuckring.db")
	disk, ok := faultdisk.Small(t, 1<<20)
	if ok {
		path = filepath.Join(disk.Dir, "tuckring.db")
	}
	kept, err := store.Open(context.Background(), path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	fill, free := disk.Fill, disk.Free
	if !ok { // this process may not mount: SQLite's own limit has to do
		fill, free = func() { require.NoError(t, kept.LimitPages(1)) }, func() { require.NoError(t, kept.LimitPages(1<<30)) }
	}
	s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: webtest.Quiet()})
	d := webtest.KeepLighthouse(t, kept)
	requests := func() []*http.Request {
		return []*http.Request{
			webtest.SendingFile(t, "/open", "lighthouse.tuckring.json", webtest.Lighthouse(t)),
			webtest.Post("/new", webtest.PlainForm()),
			webtest.Post("/d/"+d.ID+"/share", url.Values{"power": {"view"}}),
		}
	}
	fill()
	for _, r := range requests() {
		status := 303
		for range 200 { // SQLite first uses what it has
			again := requests()
			for _, a := range again {
				if a.URL.Path == r.URL.Path {
					w := webtest.Ask(t, s, a)
					if status = w.Code; status != 303 {
						assert.Contains(t, w.Body.String(), "The disk is full", r.URL.Path)
						assert.NotContains(t, w.Body.String(), "made a mistake")
					}
				}
			}
			if status != 303 {
				break
			}
		}
		assert.Equal(t, 507, status, r.URL.Path)
	}
	assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get("/")).Code)
	free()
	for _, r := range requests() {
		assert.Equal(t, 303, webtest.Ask(t, s, r).Code, r.URL.Path)
	}
}

func TestReaderWhoGoesAwayIsNoError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tuckring.db")
	kept, err := store.Open(context.Background(), path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	d := webtest.KeepLighthouse(t, kept)
	for _, level := range []slog.Level{slog.LevelInfo, slog.LevelDebug} {
		var told webtest.Diary
		s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: told.Log(level)})
		gone, leave := context.WithCancel(context.Background())
		leave()
		for _, path := range []string{"/", "/away", "/d/" + d.ID + "/report", "/d/" + d.ID + "/history"} {
			before := told.String()
			webtest.Ask(t, s, webtest.Get(path).WithContext(gone))
			lines := strings.Count(told.String()[len(before):], "\n")
			assert.LessOrEqual(t, lines, map[slog.Level]int{slog.LevelInfo: 0, slog.LevelDebug: 1}[level], "%s: %s", path, told.String()[len(before):])
		}
		assert.NotContains(t, told.String(), "level=ERROR")
	}
}

// A real reader over a real line, who breaks off while the page is made.
func TestReaderWhoHangsUpIsNotLogged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tuckring.db")
	kept, err := store.Open(context.Background(), path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	var told webtest.Diary
	s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: told.Log(slog.LevelInfo)})
	reached, done := make(chan struct{}, 1), make(chan struct{}, 1)
	app := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/away" {
			reached <- struct{}{}
			<-r.Context().Done() // the reader has gone
			defer func() { done <- struct{}{} }()
		}
		s.ServeHTTP(w, r)
	}))
	defer app.Close()
	line, err := net.Dial("tcp", app.Listener.Addr().String())
	require.NoError(t, err)
	_, err = fmt.Fprintf(line, "GET /away HTTP/1.1\r\nHost: localhost\r\n\r\n")
	require.NoError(t, err)
	<-reached
	require.NoError(t, line.Close())
	select {
	case <-done:
	case <-time.After(20 * time.Second):
		t.Fatal("the reader's going was not noticed")
	}
	assert.Empty(t, told.String())

	line, err = net.Dial("tcp", app.Listener.Addr().String()) // the app goes on
	require.NoError(t, err)
	defer line.Close()
	_, err = fmt.Fprintf(line, "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
	require.NoError(t, err)
	res, err := http.ReadResponse(bufio.NewReader(line), nil)
	require.NoError(t, err)
	assert.Equal(t, 200, res.StatusCode)
}
