package e2e

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Person is somebody with a browser of their own: its cookies and storage are shared with nobody.
type Person struct {
	t             testing.TB
	app           *App
	url           string // how this person's browser reaches the app
	window        window
	ctx           context.Context
	width, height int
	touch         bool
	patience      time.Duration

	mu       sync.Mutex
	mishaps  []string
	expected []string
}

// Phone opens a browser as on a phone: 390 × 844 px, touch.
func (a *App) Phone(t testing.TB) *Person { return a.person(t, 390, 844, true) }

// Desk opens a browser as on a desk: 1280 × 800 px, mouse.
func (a *App) Desk(t testing.TB) *Person { return a.person(t, 1280, 800, false) }

// Screen opens a browser of any size, with or without touch.
func (a *App) Screen(t testing.TB, width, height int, touch bool) *Person {
	return a.person(t, width, height, touch)
}

func (a *App) person(t testing.TB, width, height int, touch bool) *Person {
	t.Helper()
	browser.once.Do(startBrowser)
	if browser.err != nil {
		t.Fatal(browser.err)
	}
	return a.sit(t, browser.ctx, a.URL, width, height, touch, chromedp.WithNewBrowserContext())
}

// Over makes this person reach the app by way of a line; pages opened from now on come through it.
func (p *Person) Over(line *Line) *Person {
	p.url = line.URL
	return p
}

// Tab opens another tab in the same window and shows it; the person's other tabs are hidden then.
func (p *Person) Tab() *Person {
	p.t.Helper()
	return p.app.sit(p.t, p.ctx, p.url, p.width, p.height, p.touch, chromedp.WithNewWindow(false))
}

// Show brings this tab to the front of its window.
func (p *Person) Show() {
	p.t.Helper()
	p.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.BringToFront, cdp.Empty{})
		return err
	}))
}

// sit opens a tab.
func (a *App) sit(t testing.TB, parent context.Context, url string, width, height int, touch bool, where chromedp.ContextOption) *Person {
	t.Helper()
	ctx, end := chromedp.NewContext(parent, where)
	p := &Person{t: t, app: a, url: url, window: chromiumTab{}, ctx: ctx, width: width, height: height, touch: touch, patience: Patience}
	var opts []chromedp.EmulateViewportOption
	if touch {
		opts = append(opts, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait, chromedp.EmulateScale(2))
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(int64(width), int64(height), opts...)); err != nil {
		t.Fatal(err)
	}
	messages := chromedp.Console(ctx)
	listening := make(chan struct{})
	go func() {
		defer close(listening)
		for m, err := range messages {
			if err != nil {
				return
			}
			p.hear(m)
		}
	}()
	t.Cleanup(func() {
		end()
		<-listening
		p.tellMishaps(t)
	})
	return p
}

// tellMishaps fails the test for every mishap that was not expected.
func (p *Person) tellMishaps(t testing.TB) {
	t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, m := range p.mishaps {
		if !p.isExpected(m) {
			t.Errorf("on the page of the %d px screen: %s", p.width, m)
		}
	}
}

// hear keeps what must not happen on any page. Answers of 4xx are part of many tests, so the
// network's own messages do not count.
func (p *Person) hear(m chromedp.ConsoleMessage) {
	bad := m.IsException() || m.Source == "security" || strings.Contains(m.Text, "Content Security Policy") ||
		(m.Type == chromedp.ConsoleError && m.Source != "network")
	if !bad {
		return
	}
	p.mishap(fmt.Sprintf("%s %s:%d", m.Text, m.URL, m.Line+1))
}

func (p *Person) mishap(what string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.mishaps = append(p.mishaps, what)
}

// Expect lets a script message that contains text pass without failing the test.
func (p *Person) Expect(text string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.expected = append(p.expected, text)
}

func (p *Person) isExpected(message string) bool {
	for _, e := range p.expected {
		if strings.Contains(message, e) {
			return true
		}
	}
	return false
}

// Patient makes a person wait longer than Patience for what they do to be taken; for crowds, in which one
// slow machine serves all.
func (p *Person) Patient(patience time.Duration) { p.patience = patience }

// Width is the width of the window in CSS pixels.
func (p *Person) Width() int { return p.width }

// Touches tells whether the window is touched, not pointed at with a mouse.
func (p *Person) Touches() bool { return p.touch }

// Context is the browser tab's, for chromedp actions that Person has no method for.
func (p *Person) Context() context.Context { return p.ctx }

// Do runs chromedp actions and fails the test when one fails. Only Chromium can.
func (p *Person) Do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if _, ok := p.window.(chromiumTab); !ok {
		p.t.Fatal("only Chromium speaks the protocol of these actions")
	}
	ctx, cancel := context.WithTimeout(p.ctx, p.patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// Open goes to a path of the app, or to a whole address.
func (p *Person) Open(path string) {
	p.t.Helper()
	if !strings.Contains(path, "://") {
		path = p.url + path
	}
	ctx, cancel := context.WithTimeout(p.ctx, 2*Patience)
	defer cancel()
	if err := p.window.open(ctx, path); err != nil {
		p.t.Fatalf("open %s: %v", path, err)
	}
}

// Reload loads the page again.
func (p *Person) Reload() { p.t.Helper(); p.Open(Eval[string](p, "location.href")) }

// Path is the address of the open page without the app's own part.
func (p *Person) Path() string {
	p.t.Helper()
	return strings.TrimPrefix(Eval[string](p, "location.href"), p.url)
}

// Eval runs a JavaScript expression in the page and returns its value; promises are awaited.
func Eval[T any](p *Person, expression string) T {
	p.t.Helper()
	v, err := tryEval[T](p, expression)
	if err != nil {
		p.t.Fatalf("in the page: %v", err)
	}
	return v
}

func tryEval[T any](p *Person, expression string) (T, error) {
	ctx, cancel := context.WithTimeout(p.ctx, 2*p.patience)
	defer cancel()
	return read[T](p.window.eval(ctx, expression))
}

// read takes a value from the JSON that a window gave. A bare null or undefined is no value of most types.
func read[T any](raw json.RawMessage, err error) (T, error) {
	var v T
	if err != nil {
		return v, err
	}
	if len(raw) == 0 {
		return v, errors.New("the script gives no value")
	}
	err = json.Unmarshal(raw, &v)
	return v, err
}

// Text is what stands on the page.
func (p *Person) Text() string { p.t.Helper(); return Eval[string](p, "document.body.innerText") }

// Sees waits until the text stands on the page. White space counts as single spaces.
func (p *Person) Sees(text string) {
	p.t.Helper()
	if !p.until(func() bool { return p.reads(text) }) {
		p.t.Fatalf("%q does not stand on %s, which reads:\n%s", text, p.Path(), p.Text())
	}
}

// SeesNot waits until the text is gone from the page.
func (p *Person) SeesNot(text string) {
	p.t.Helper()
	if !p.until(func() bool { return !p.reads(text) }) {
		p.t.Fatalf("%q still stands on %s", text, p.Path())
	}
}

func (p *Person) reads(text string) bool {
	all, err := tryEval[string](p, "document.body?.innerText ?? ''")
	return err == nil && strings.Contains(oneSpace(all), oneSpace(text))
}

func oneSpace(s string) string { return strings.Join(strings.Fields(s), " ") }

// Until waits until a JavaScript condition holds; what says in the failure what was waited for.
func (p *Person) Until(what, condition string) {
	p.t.Helper()
	ok := p.until(func() bool { v, err := tryEval[bool](p, "!!("+condition+")"); return err == nil && v })
	if !ok {
		p.t.Fatalf("waited in vain: %s (%s)", what, condition)
	}
}

// until asks again and again until Patience ends.
func (p *Person) until(holds func() bool) bool {
	for end := time.Now().Add(p.patience); ; time.Sleep(Glance) {
		if holds() {
			return true
		}
		if time.Now().After(end) || p.ctx.Err() != nil {
			return false
		}
	}
}

// Picture keeps a picture of the whole page in tmp/pictures, as NAME-WIDTH.png, and returns its path.
func (p *Person) Picture(name string) string {
	p.t.Helper()
	return p.picture(name, true)
}

// View keeps a picture of what the window shows in tmp/pictures, as NAME-WIDTH.png.
func (p *Person) View(name string) string {
	p.t.Helper()
	return p.picture(name, false)
}

func (p *Person) picture(name string, whole bool) string {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 2*Patience)
	defer cancel()
	png, err := p.window.picture(ctx, whole)
	if err != nil {
		p.t.Fatalf("picture %s: %v", name, err)
	}
	return p.Keep(fmt.Sprintf("%s-%d.png", name, p.width), png)
}

// Keep writes a file to be looked at into the folder that TUCKRING_SHOTS names, or into tmp/pictures of
// the project, and returns its path.
func (p *Person) Keep(name string, data []byte) string {
	p.t.Helper()
	dir := os.Getenv("TUCKRING_SHOTS")
	if dir == "" {
		dir = filepath.Join(Root(p.t), "tmp", "pictures")
	}
	path := filepath.Join(dir, name)
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, data, 0o644)); err != nil {
		p.t.Fatal(err)
	}
	return path
}

// Print prints the page to PDF as a person would: the page's own print styles, backgrounds off.
func (p *Person) Print(size chromedp.PaperSize) []byte {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 2*Patience)
	defer cancel()
	pdf, err := p.window.print(ctx, size)
	if err != nil {
		p.t.Fatalf("print: %v", err)
	}
	return pdf
}

// WithoutScripts turns scripts off for the pages opened from now on.
func (p *Person) WithoutScripts() {
	p.t.Helper()
	p.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
}

// FitsWidth fails the test when the page can be scrolled sideways.
func (p *Person) FitsWidth() {
	p.t.Helper()
	if over := Eval[float64](p, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
		p.t.Errorf("%s is %v px wider than the %d px screen", p.Path(), over, p.width)
	}
}

// CheckAccess runs axe-core on the page and fails the test on every breach of WCAG 2.2 AA and of
// axe's best practices.
func (p *Person) CheckAccess() {
	p.t.Helper()
	axe, err := os.ReadFile(filepath.Join(Root(p.t), "web", "client", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		p.t.Fatalf("axe-core is missing (run make client): %v", err)
	}
	Eval[bool](p, string(axe)+"\n;true")
	breaches := Eval[[]string](p, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
		.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + v.help + "\n    " + n.html.slice(0, 200) + "\n    " + n.failureSummary)))`)
	for _, b := range breaches {
		p.t.Errorf("axe-core on %s at %d px: %s", p.Path(), p.width, b)
	}
}
