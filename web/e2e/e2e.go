// Package e2e drives the real app in a real Chromium the way a person does: it opens pages on a phone
// (390 px wide, touch) or at a desk (1280 px, mouse), presses and fills what it finds by its visible
// name, reads what stands on the page, looks at pictures of it and prints it. Only tests import it.
//
//	func TestMain(m *testing.M) { os.Exit(e2e.Main(m)) }
//
//	func TestMakerStartsAFigure(t *testing.T) {
//		e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
//			maker.Open("/")
//			maker.Press("New figure")         // any button or link with exactly this name
//			maker.Fill("Title", "Lighthouse") // any field with this label
//			maker.Press("Make the figure")
//			maker.Sees("Lighthouse")
//			maker.Picture("new-figure")       // tmp/pictures/new-figure-390.png
//			maker.CheckAccess()               // axe-core, WCAG 2.2 AA
//		})
//	}
//
// Names are the accessible names that Chromium computes, so a test that finds a control proves that a
// screen reader finds it too. Every action waits for its thing to appear, and fails the test after
// Patience. A script error or a breach of the content policy on any page fails the test as well.
package e2e

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/store"
	"tuckring/internal/words"
	"tuckring/static"
	"tuckring/web"
	"tuckring/web/e2e/browsers"
)

// Patience is how long an action waits for what it needs before the test fails.
const Patience = 15 * time.Second

// Glance is how long an action waits before it looks again, short against what a person notices.
const Glance = 30 * time.Millisecond

// browser is the one Chromium of a test binary; each Person has a profile of its own in it.
var browser struct {
	once sync.Once
	ctx  context.Context
	stop func()
	err  error
}

// Main runs a package's tests and ends the browser after them. It fails when a page said a sentence that the
// catalogue lacks or was not given whole. Call it from TestMain.
func Main(m *testing.M) int {
	for _, kind := range []browsers.Kind{browsers.Chromium, browsers.Firefox} {
		if found, err := kind.Find(); err == nil {
			fmt.Println(found)
		} else {
			fmt.Println(err)
		}
	}
	code := m.Run()
	if browser.stop != nil {
		browser.stop()
	}
	if err := stopFirefox(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = max(code, 1)
	}
	if flaws := words.Flaws(); len(flaws) > 0 {
		fmt.Fprintln(os.Stderr, "sentences that could not be said as meant:", strings.Join(flaws, "; "))
		return max(code, 1)
	}
	return code
}

// startBrowser starts Chromium once. It needs no network and no screen; WebGL runs in software.
func startBrowser() {
	found, err := browsers.Chromium.Find()
	if err != nil {
		browser.err = err
		return
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(found.Path),
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("enable-unsafe-swiftshader", true),
		chromedp.Flag("lang", "en-GB"),
	)
	if os.Geteuid() == 0 { // Chromium's sandbox refuses to run for root
		opts = append(opts, chromedp.NoSandbox)
	}
	alloc, endAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, endBrowser := chromedp.NewContext(alloc)
	browser.ctx, browser.stop = ctx, func() { endBrowser(); endAlloc() }
	browser.err = chromedp.Do(ctx)
}

// App is a running server with an empty temporary database of its own.
type App struct {
	URL   string       // "http://127.0.0.1:PORT", without a closing slash
	Store *store.Store // its database, to put figures there without the pages

	t       testing.TB
	db      string
	options []func(*web.Config)
	stop    func()
}

// Start runs the real server on a free port of this machine until the test ends. Each option may
// change how it is set up.
func Start(t testing.TB, options ...func(*web.Config)) *App {
	t.Helper()
	return StartOn(t, filepath.Join(t.TempDir(), "tuckring.db"), options...)
}

// StartOn is Start with a database in a place of the test's.
func StartOn(t testing.TB, db string, options ...func(*web.Config)) *App {
	t.Helper()
	if err := static.Built(); err != nil {
		t.Fatal(err)
	}
	a := &App{t: t, db: db, options: options}
	a.start("127.0.0.1:0")
	t.Cleanup(func() { a.stop() })
	return a
}

// start opens the database and serves it at an address.
func (a *App) start(address string) {
	a.t.Helper()
	kept, err := store.Open(context.Background(), a.db)
	if err != nil {
		a.t.Fatal(err)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		a.t.Fatal(err)
	}
	a.URL, a.Store = "http://"+l.Addr().String(), kept
	cfg := web.Config{Store: kept, Listen: l.Addr().String(), Log: slog.New(slog.NewTextHandler(&testLog{t: a.t}, nil))}
	for _, set := range a.options {
		set(&cfg)
	}
	server := web.New(cfg)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- server.Serve(ctx, l) }()
	a.stop = func() {
		stop()
		if err := <-done; err != nil {
			a.t.Errorf("the server ended badly: %v", err)
		}
		if err := kept.Close(); err != nil {
			a.t.Errorf("the database closed badly: %v", err)
		}
	}
}

// Restart ends the server and starts it again with the same database at the same address.
func (a *App) Restart() { a.t.Helper(); a.Away(func() {}) }

// Away ends the server, does something while nobody answers, and starts it again as Restart does.
func (a *App) Away(meanwhile func()) {
	a.t.Helper()
	a.stop()
	meanwhile()
	a.start(strings.TrimPrefix(a.URL, "http://"))
}

// Keep puts the figure of a document on the shelf and returns the path of its pattern page, "/d/{id}".
// name is a file of a testdata folder, seen from the test's own.
func (a *App) Keep(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := figure.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return a.KeepFigure(t, f)
}

// KeepDemo puts the demo figures on the shelf and returns the paths of their pattern pages by name
// ("puffin").
func (a *App) KeepDemo(t testing.TB) map[string]string {
	t.Helper()
	paths := map[string]string{}
	for _, demo := range shelf.Demo() {
		paths[demo.Name] = a.KeepFigure(t, demo.Figure)
	}
	return paths
}

// KeepFigure puts a figure on the shelf and returns the path of its pattern page, "/d/{id}".
func (a *App) KeepFigure(t testing.TB, f *figure.Figure) string {
	t.Helper()
	d, err := a.Store.Create(context.Background(), f)
	if err != nil {
		t.Fatal(err)
	}
	return "/d/" + d.ID
}

// testLog passes the server's log to the test's, where it is shown when the test fails.
type testLog struct{ t testing.TB }

func (l *testLog) Write(p []byte) (int, error) {
	l.t.Log(string(bytes.TrimRight(p, "\n")))
	return len(p), nil
}

// OnEachScreen runs a test twice, on a phone by touch and at a desk by mouse, each with a server of
// its own.
func OnEachScreen(t *testing.T, test func(t *testing.T, app *App, who *Person)) {
	t.Helper()
	t.Run("phone", func(t *testing.T) { app := Start(t); test(t, app, app.Phone(t)) })
	t.Run("desk", func(t *testing.T) { app := Start(t); test(t, app, app.Desk(t)) })
}

// Root is the top folder of the project.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod above the test's folder")
		}
		dir = up
	}
}

// PDFText reads the text of a printed page with pdftotext, laid out as on paper, pages parted by
// form feeds.
func PDFText(t testing.TB, pdf []byte) string {
	t.Helper()
	cmd := exec.Command("pdftotext", "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = io.Writer(&out), &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("pdftotext (Debian's poppler-utils): %v %s", err, errs.String())
	}
	return out.String()
}
