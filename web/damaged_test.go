package web

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/faultdisk"
	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// diary is a log that a test reads.
type diary struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (d *diary) Write(b []byte) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.Write(b)
}

func (d *diary) String() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.String()
}

func (d *diary) log(level slog.Level) *slog.Logger {
	return slog.New(slog.NewTextHandler(d, &slog.HandlerOptions{Level: level}))
}

// paintSome makes steps in a figure.
func paintSome(t *testing.T, kept *store.Store, id string, n int) {
	t.Helper()
	var asks []store.Ask
	for i := range n {
		asks = append(asks, store.Ask{Seq: int64(i + 1), Kind: store.KindEdit, Edit: &figure.SetTitle{Title: fmt.Sprint("Lighthouse ", i+1)}})
	}
	answers, err := kept.Apply(context.Background(), id, store.Person{ID: "mira"}, "page", asks)
	require.NoError(t, err)
	for _, a := range answers {
		require.Empty(t, a.Faults)
	}
}

// behind changes a database behind the app's back.
func behind(t *testing.T, db, query string, args ...any) {
	t.Helper()
	con, err := sql.Open("sqlite3", db)
	require.NoError(t, err)
	done, err := con.Exec(query, args...)
	require.NoError(t, err)
	n, err := done.RowsAffected()
	require.NoError(t, err)
	require.Positive(t, n)
	require.NoError(t, con.Close())
}

func TestShelfOpensWhateverOneFigureIsLike(t *testing.T) {
	const of = `design = (SELECT number FROM designs WHERE id = ?)`
	for name, c := range map[string]struct {
		damage string
		last   string // "" when no version can be read
	}{
		"a step that cannot be carried out":  {`UPDATE steps SET edit = '{"do":"remove_ring","ring":77}' WHERE rev = 3 AND ` + of, "2"},
		"a step that is gibberish":           {`UPDATE steps SET edit = x'00ff' || 'x' WHERE rev = 2 AND ` + of, "1"},
		"a gap":                              {`DELETE FROM steps WHERE rev = 3 AND ` + of, "2"},
		"a document that breaks a rule":      {`UPDATE snapshots SET document = replace(document, '"n":', '"m":') WHERE ` + of, ""},
		"a document that is none":            {`UPDATE snapshots SET document = '' WHERE ` + of, ""},
		"identities that went past the last": {`UPDATE snapshots SET keys = replace(keys, '"next_ring":', '"next_ring":-') WHERE ` + of, ""},
		"no document":                        {`DELETE FROM snapshots WHERE ` + of, ""},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "tuckring.db")
			kept, err := store.Open(context.Background(), path)
			require.NoError(t, err)
			bad, good := keepLighthouse(t, kept), keepLighthouse(t, kept)
			paintSome(t, kept, bad.ID, 5)
			require.NoError(t, kept.Close())
			behind(t, path, c.damage, bad.ID)
			kept, err = store.Open(context.Background(), path)
			require.NoError(t, err)
			t.Cleanup(func() { require.NoError(t, kept.Close()) })
			var told diary
			s := New(Config{Store: kept, Listen: "127.0.0.1:8080", Log: told.log(slog.LevelInfo)})

			for range 2 {
				w := ask(t, s, get("/"))
				require.Equal(t, 200, w.Code)
				page := w.Body.String()
				assert.True(t, strings.Contains(page, `href="/d/`+good.ID+`"`), "the other figure is there")
				assert.True(t, strings.Contains(page, "Lighthouse 5"), "it is shown under its title")
				assert.True(t, strings.Contains(page, "Damaged: "))
				assert.False(t, strings.Contains(page, bad.ID+"/picture.svg"))
				offer := "Continue from version " + c.last
				assert.Equal(t, c.last != "", strings.Contains(page, offer), page)
			}
			assert.Equal(t, 1, strings.Count(told.String(), "a figure is damaged"), "told once")
			assert.Contains(t, told.String(), bad.ID)
			assert.Contains(t, told.String(), "cause=")
			w := ask(t, s, get("/d/"+bad.ID))
			assert.Equal(t, 500, w.Code)
			assert.Contains(t, w.Body.String(), "This figure is damaged")

			require.Equal(t, 303, ask(t, s, post("/d/"+bad.ID+"/away", nil)).Code)
			for _, path := range []string{"/", "/away"} {
				assert.Equal(t, 200, ask(t, s, get(path)).Code, path)
			}
			w = ask(t, s, post("/d/"+bad.ID+"/go-on", nil))
			if c.last == "" {
				assert.Equal(t, 500, w.Code)
				return
			}
			require.Equal(t, 303, w.Code)
			to, err := url.Parse(w.Header().Get("Location"))
			require.NoError(t, err)
			w = ask(t, s, get(to.Path))
			assert.Equal(t, 200, w.Code)
			assert.Contains(t, w.Body.String(), "Lighthouse "+c.last)
		})
	}
}

func TestFullDiskIsNoMistakeOfOurs(t *testing.T) {
	p := problemFrom(fmt.Errorf("a step: %w", &store.Error{Code: store.Full}))
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
	s := New(Config{Store: kept, Listen: "127.0.0.1:8080", Log: quiet()})
	d := keepLighthouse(t, kept)
	requests := func() []*http.Request {
		return []*http.Request{
			sendingFile(t, "/open", "lighthouse.tuckring.json", lighthouse(t)),
			post("/new", plainForm()),
			post("/d/"+d.ID+"/share", url.Values{"power": {"view"}}),
		}
	}
	fill()
	for _, r := range requests() {
		status := 303
		for range 200 { // SQLite first uses what it has
			again := requests()
			for _, a := range again {
				if a.URL.Path == r.URL.Path {
					w := ask(t, s, a)
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
	assert.Equal(t, 200, ask(t, s, get("/")).Code)
	free()
	for _, r := range requests() {
		assert.Equal(t, 303, ask(t, s, r).Code, r.URL.Path)
	}
}

func TestReaderWhoGoesAwayIsNoError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tuckring.db")
	kept, err := store.Open(context.Background(), path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	d := keepLighthouse(t, kept)
	for _, level := range []slog.Level{slog.LevelInfo, slog.LevelDebug} {
		var told diary
		s := New(Config{Store: kept, Listen: "127.0.0.1:8080", Log: told.log(level)})
		gone, leave := context.WithCancel(context.Background())
		leave()
		for _, path := range []string{"/", "/away", "/d/" + d.ID + "/report", "/d/" + d.ID + "/history"} {
			before := told.String()
			ask(t, s, get(path).WithContext(gone))
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
	var told diary
	s := New(Config{Store: kept, Listen: "127.0.0.1:8080", Log: told.log(slog.LevelInfo)})
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

func TestOurOwnFaultIsStillLoggedAndOnce(t *testing.T) {
	var told diary
	s := New(Config{Listen: "127.0.0.1:8080", Log: told.log(slog.LevelDebug)})
	w := httptest.NewRecorder()
	s.fail(w, get("/"), errors.New("a fault of ours"))
	assert.Equal(t, 500, w.Code)
	assert.Equal(t, 1, strings.Count(told.String(), "level=ERROR"))
	assert.Contains(t, told.String(), "a fault of ours")
	gone, leave := context.WithCancel(context.Background())
	leave()
	s.fail(httptest.NewRecorder(), get("/").WithContext(gone), errors.New("another fault of ours"))
	assert.Equal(t, 2, strings.Count(told.String(), "level=ERROR"), "though nobody waits for the answer")
}
