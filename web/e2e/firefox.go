package e2e

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tuckring/web/e2e/bidi"
	"tuckring/web/e2e/browsers"
)

// firefox is the one Firefox of a test binary; each Person has a container of their own in it, with its own cookies
// and storage.
var firefox struct {
	once    sync.Once
	found   browsers.Found
	conn    *bidi.Conn
	process *exec.Cmd
	profile string
	err     error

	mu      sync.Mutex
	windows map[string]*Person // by browsing context
}

// firefoxStarts is how long Firefox may take until it can be driven; on a busy machine its first start takes long.
const firefoxStarts = time.Minute

// firefoxPatience is longer than Patience: the names of a page's things are worked out only when they are first asked for.
const firefoxPatience = 2 * Patience

// firefoxOrigin is whom Firefox lets drive it.
const firefoxOrigin = "http://127.0.0.1"

// firefoxSettings keep Firefox from asking, updating and calling home, and let it draw 3D without a graphics card.
const firefoxSettings = `
user_pref("app.normandy.enabled", false);
user_pref("app.update.disabledForTesting", true);
user_pref("browser.aboutwelcome.enabled", false);
user_pref("browser.newtabpage.enabled", false);
user_pref("browser.region.network.url", "");
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("browser.startup.page", 0);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("extensions.update.enabled", false);
user_pref("intl.accept_languages", "en-GB, en");
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("network.proxy.type", 0);
user_pref("services.settings.server", "data:,");
user_pref("toolkit.telemetry.reportingpolicy.firstRun", false);
user_pref("webgl.force-enabled", true);
`

// Firefox opens a window of Firefox in a container of its own, of any size, with a mouse or touched. Where Firefox is
// not installed the test is left out, unless every browser is needed (CI=true).
func (a *App) Firefox(t testing.TB, width, height int, touch bool) *Person {
	t.Helper()
	firefox.once.Do(startFirefox)
	if errors.Is(firefox.err, browsers.ErrMissing) && !browsers.AllNeeded() {
		t.Skip(firefox.err)
	}
	if firefox.err != nil {
		t.Fatal(firefox.err)
	}
	ctx, end := context.WithCancel(context.Background())
	p := &Person{t: t, app: a, url: a.URL, ctx: ctx, width: width, height: height, touch: touch, patience: firefoxPatience}
	w, err := openFirefoxWindow(ctx, p)
	if err != nil {
		t.Fatal(err)
	}
	p.window = w
	t.Cleanup(func() {
		if err := w.close(); err != nil {
			t.Errorf("Firefox's window does not close: %v", err)
		}
		end()
		p.tellMishaps(t)
	})
	return p
}

// startFirefox starts Firefox once, without a screen, and opens the session that drives it.
func startFirefox() {
	if firefox.found, firefox.err = browsers.Firefox.Find(); firefox.err != nil {
		return
	}
	firefox.windows = map[string]*Person{}
	if firefox.profile, firefox.err = os.MkdirTemp("", "tuckring-firefox-"); firefox.err != nil {
		return
	}
	if firefox.err = os.WriteFile(filepath.Join(firefox.profile, "user.js"), []byte(firefoxSettings), 0o600); firefox.err != nil {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), firefoxStarts)
	defer cancel()
	firefox.process = exec.Command(firefox.found.Path, "--headless", "--no-remote", "--profile", firefox.profile,
		"--remote-debugging-port", "0", "--remote-allow-origins", firefoxOrigin)
	firefox.process.Env = append(os.Environ(), "HOME="+firefox.profile, "LIBGL_ALWAYS_SOFTWARE=1", "MOZ_CRASHREPORTER_DISABLE=1")
	if firefox.err = firefox.process.Start(); firefox.err != nil {
		return
	}
	address, err := firefoxAddress(ctx)
	if err != nil {
		firefox.err = err
		return
	}
	if firefox.conn, firefox.err = bidi.Dial(ctx, address, firefoxOrigin, heardOfFirefox); firefox.err != nil {
		return
	}
	firefox.err = firefox.conn.Call(ctx, "session.subscribe", map[string]any{"events": []string{"log.entryAdded"}}, nil)
}

// firefoxAddress waits until Firefox has written down where it listens.
func firefoxAddress(ctx context.Context) (string, error) {
	for {
		var at struct {
			Host string `json:"ws_host"`
			Port int    `json:"ws_port"`
		}
		data, err := os.ReadFile(filepath.Join(firefox.profile, "WebDriverBiDiServer.json"))
		if err == nil && json.Unmarshal(data, &at) == nil && at.Port > 0 {
			return fmt.Sprintf("ws://%s:%d", at.Host, at.Port), nil
		}
		select {
		case <-ctx.Done():
			return "", fmt.Errorf("%s cannot be driven: after %v it does not listen", firefox.found.Path, firefoxStarts)
		case <-time.After(Glance):
		}
	}
}

// stopFirefox ends Firefox and removes its profile.
func stopFirefox() error {
	if firefox.conn != nil {
		ctx, cancel := context.WithTimeout(context.Background(), Patience)
		defer cancel()
		_ = firefox.conn.Call(ctx, "browser.close", map[string]any{}, nil) // killed below, should it not go
		firefox.conn.Close()
	}
	if firefox.process != nil && firefox.process.Process != nil {
		gone := make(chan struct{})
		go func() { _ = firefox.process.Wait(); close(gone) }()
		select {
		case <-gone:
		case <-time.After(Patience):
			_ = firefox.process.Process.Kill()
			<-gone
		}
	}
	if firefox.profile == "" {
		return nil
	}
	return os.RemoveAll(firefox.profile)
}

// heardOfFirefox passes what a page's scripts said on to whose window it is.
func heardOfFirefox(method string, params json.RawMessage) {
	var entry struct {
		Type   string `json:"type"` // "console" or "javascript"
		Level  string `json:"level"`
		Text   string `json:"text"`
		Source struct {
			Context string `json:"context"`
		} `json:"source"`
		Stack struct {
			Frames []struct {
				URL  string `json:"url"`
				Line int    `json:"lineNumber"`
			} `json:"callFrames"`
		} `json:"stackTrace"`
	}
	if method != "log.entryAdded" || json.Unmarshal(params, &entry) != nil || entry.Level != "error" {
		return
	}
	firefox.mu.Lock()
	p := firefox.windows[entry.Source.Context]
	firefox.mu.Unlock()
	if p == nil {
		return
	}
	where := ""
	if len(entry.Stack.Frames) > 0 {
		where = fmt.Sprintf(" %s:%d", entry.Stack.Frames[0].URL, entry.Stack.Frames[0].Line+1)
	}
	p.mishap(entry.Text + where)
}

// firefoxWindow is a window of Firefox, driven by WebDriver BiDi.
type firefoxWindow struct {
	context   string        // the browsing context
	container string        // the user context
	looks     time.Duration // how long a look may take
}

// firstLook is how long the first look for a thing may take. One that begins as the page makes room for the next is never
// answered, so it is given up and begun anew, with more time.
const firstLook = 3 * time.Second

// tellsBreaches makes every page tell breaches of the content policy, which Firefox keeps for its own console.
const tellsBreaches = `() => document.addEventListener("securitypolicyviolation", e =>
	console.error("Content Security Policy: " + e.violatedDirective + " " + e.blockedURI))`

func openFirefoxWindow(ctx context.Context, p *Person) (*firefoxWindow, error) {
	ctx, cancel := context.WithTimeout(ctx, 2*Patience)
	defer cancel()
	w := &firefoxWindow{looks: firstLook}
	var container struct {
		UserContext string `json:"userContext"`
	}
	if err := w.call(ctx, "browser.createUserContext", map[string]any{}, &container); err != nil {
		return nil, err
	}
	w.container = container.UserContext
	var made struct {
		Context string `json:"context"`
	}
	if err := w.call(ctx, "browsingContext.create", map[string]any{"type": "window", "userContext": w.container}, &made); err != nil {
		return nil, err
	}
	w.context = made.Context
	firefox.mu.Lock()
	firefox.windows[w.context] = p
	firefox.mu.Unlock()
	scale := 1
	if p.touch {
		scale = 2
	}
	size := map[string]any{"context": w.context, "viewport": map[string]any{"width": p.width, "height": p.height}, "devicePixelRatio": scale}
	return w, errors.Join(
		w.call(ctx, "browsingContext.setViewport", size, nil),
		w.call(ctx, "script.addPreloadScript", map[string]any{"functionDeclaration": tellsBreaches, "contexts": []string{w.context}}, nil),
	)
}

// close closes the window and forgets what its pages stored.
func (w *firefoxWindow) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), Patience)
	defer cancel()
	firefox.mu.Lock()
	delete(firefox.windows, w.context)
	firefox.mu.Unlock()
	return w.call(ctx, "browser.removeUserContext", map[string]any{"userContext": w.container}, nil)
}

func (w *firefoxWindow) call(ctx context.Context, method string, params, result any) error {
	return firefox.conn.Call(ctx, method, params, result)
}

func (w *firefoxWindow) open(ctx context.Context, address string) error {
	return w.call(ctx, "browsingContext.navigate", map[string]any{"context": w.context, "url": address, "wait": "complete"}, nil)
}

// value is what a script came to, or what it threw.
type value struct {
	Type   string `json:"type"`
	Result struct {
		Type  string `json:"type"`
		Value string `json:"value"`
	} `json:"result"`
	Exception struct {
		Text string `json:"text"`
	} `json:"exceptionDetails"`
}

// json reads a value that the script gave as JSON text.
func (v value) json() (json.RawMessage, error) {
	if v.Type == "exception" {
		return nil, errors.New(v.Exception.Text)
	}
	if v.Result.Type != "string" {
		return nil, fmt.Errorf("the script gives %s", v.Result.Type)
	}
	return json.RawMessage(v.Result.Value), nil
}

func (w *firefoxWindow) eval(ctx context.Context, expression string) (json.RawMessage, error) {
	var v value
	err := w.call(ctx, "script.evaluate", map[string]any{
		"expression": "(async () => JSON.stringify(await eval(" + quoted(expression) + ")) ?? 'null')()",
		"target":     map[string]any{"context": w.context}, "awaitPromise": true,
	}, &v)
	if err != nil {
		return nil, err
	}
	return v.json()
}

func quoted(text string) string {
	data, err := json.Marshal(text)
	if err != nil {
		panic(err) // a string always can be
	}
	return string(data)
}

// roleOf is the role of an element in the page, in the words that Chromium uses.
const roleOf = `e => {
	if (!e.checkVisibility({visibilityProperty: true})) return "";
	const own = e.getAttribute("role");
	if (own) return own;
	const inputs = {checkbox: "checkbox", radio: "radio", range: "slider", number: "spinbutton", search: "searchbox",
		button: "button", submit: "button", reset: "button", color: "ColorWell", date: "Date", file: "button"};
	switch (e.localName) {
		case "a": return e.href ? "link" : "";
		case "button": return "button";
		case "summary": return "DisclosureTriangle";
		case "option": return "option";
		case "textarea": return "textbox";
		case "select": return e.multiple || e.size > 1 ? "listbox" : "combobox";
		case "input": return inputs[e.type] ?? "textbox";
	}
	return "";
}`

// look asks Firefox for what its accessibility tree calls so.
func (w *firefoxWindow) look(ctx context.Context, name string, wanted map[string]bool) (thing, []string, error) {
	if name == "" {
		names, err := w.names(ctx, wanted)
		return "", names, err
	}
	var found struct {
		Nodes []struct {
			ID string `json:"sharedId"`
		} `json:"nodes"`
	}
	looking, cancel := context.WithTimeout(ctx, w.looks)
	defer cancel()
	err := w.call(looking, "browsingContext.locateNodes", map[string]any{"context": w.context,
		"locator": map[string]any{"type": "accessibility", "value": map[string]any{"name": name}}}, &found)
	if looking.Err() != nil {
		w.looks *= 2
	} else {
		w.looks = firstLook
	}
	if err != nil {
		return "", nil, err
	}
	for _, n := range found.Nodes {
		role, err := w.callOn(ctx, thing(n.ID), "function () { return ("+roleOf+")(this); }")
		if err == nil && wanted[strings.Trim(string(role), `"`)] {
			return thing(n.ID), nil, nil
		}
	}
	return "", nil, nil
}

// names are what stands on what can be pressed or filled, to be told where something is not found.
func (w *firefoxWindow) names(ctx context.Context, wanted map[string]bool) ([]string, error) {
	all, err := w.eval(ctx, `[...document.querySelectorAll("[role], a, button, summary, input, select, textarea")]
		.map(e => [(`+roleOf+`)(e), (e.ariaLabel ?? e.labels?.[0]?.textContent ?? e.textContent).trim()])`)
	if err != nil {
		return nil, err
	}
	var pairs [][2]string
	if err := json.Unmarshal(all, &pairs); err != nil {
		return nil, err
	}
	var names []string
	for _, p := range pairs {
		if wanted[p[0]] {
			names = append(names, p[1])
		}
	}
	return names, nil
}

func (w *firefoxWindow) callOn(ctx context.Context, on thing, function string, args ...any) (json.RawMessage, error) {
	given, err := json.Marshal(args)
	if err != nil {
		return nil, err
	}
	if args == nil {
		given = []byte("[]")
	}
	var v value
	err = w.call(ctx, "script.callFunction", map[string]any{
		"functionDeclaration": "async function (args) { return JSON.stringify(await (" + function + ").apply(this, JSON.parse(args))) ?? 'null'; }",
		"arguments":           []any{map[string]any{"type": "string", "value": string(given)}},
		"this":                map[string]any{"sharedId": string(on)},
		"target":              map[string]any{"context": w.context}, "awaitPromise": true,
	}, &v)
	if err != nil {
		return nil, err
	}
	return v.json()
}

// act performs what a device does, one thing after the other.
func (w *firefoxWindow) act(ctx context.Context, device map[string]any) error {
	return w.call(ctx, "input.performActions", map[string]any{"context": w.context, "actions": []any{device}}, nil)
}

// pointer is the mouse, or a finger. Each keeps its place and whether it is down between two acts.
func pointer(touched bool, acts ...map[string]any) map[string]any {
	kind := "mouse"
	if touched {
		kind = "touch"
	}
	return map[string]any{"type": "pointer", "id": kind, "parameters": map[string]any{"pointerType": kind}, "actions": acts}
}

func moveTo(at Point) map[string]any {
	return map[string]any{"type": "pointerMove", "x": at.X, "y": at.Y}
}

func down() map[string]any { return map[string]any{"type": "pointerDown", "button": 0} }
func up() map[string]any   { return map[string]any{"type": "pointerUp", "button": 0} }

func (w *firefoxWindow) press(ctx context.Context, at Point, touched bool) error {
	return w.act(ctx, pointer(touched, moveTo(at), down(), up()))
}

func (w *firefoxWindow) hover(ctx context.Context, at Point) error {
	return w.act(ctx, pointer(false, moveTo(at)))
}

func (w *firefoxWindow) hold(ctx context.Context, at Point, touched, first bool) error {
	if first {
		return w.act(ctx, pointer(touched, moveTo(at), down()))
	}
	return w.act(ctx, pointer(touched, moveTo(at)))
}

func (w *firefoxWindow) letGo(ctx context.Context, _ Point, touched bool) error {
	return w.act(ctx, pointer(touched, up()))
}

// webDriverKeys are WebDriver's names (https://www.w3.org/TR/webdriver2/#keyboard-actions) for keys that have no letter.
var webDriverKeys = map[rune]string{'\b': "\ue003", '\t': "\ue004", '\r': "\ue007", '\x1b': "\ue00c"}

func (w *firefoxWindow) write(ctx context.Context, text string) error { return w.keys(ctx, text, nil) }

func (w *firefoxWindow) keys(ctx context.Context, keys string, modifiers []chromedp.Modifier) error {
	if len(modifiers) > 0 {
		return errors.New("no test needs keys held together in Firefox yet")
	}
	var acts []any
	for _, r := range keys {
		key, special := webDriverKeys[r]
		if !special {
			key = string(r)
		}
		acts = append(acts, map[string]any{"type": "keyDown", "value": key}, map[string]any{"type": "keyUp", "value": key})
	}
	return w.act(ctx, map[string]any{"type": "key", "id": "keyboard", "actions": acts})
}

// bytes asks for something that comes in base64.
func (w *firefoxWindow) bytes(ctx context.Context, method string, params map[string]any) ([]byte, error) {
	var answer struct {
		Data string `json:"data"`
	}
	if err := w.call(ctx, method, params, &answer); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(answer.Data)
}

func (w *firefoxWindow) picture(ctx context.Context, whole bool) ([]byte, error) {
	origin := "viewport"
	if whole {
		origin = "document"
	}
	return w.bytes(ctx, "browsingContext.captureScreenshot", map[string]any{"context": w.context, "origin": origin})
}

// print takes the margins of the page's own style, as Chromium does.
func (w *firefoxWindow) print(ctx context.Context, size chromedp.PaperSize) ([]byte, error) {
	const cmPerInch = 2.54
	return w.bytes(ctx, "browsingContext.print", map[string]any{"context": w.context,
		"page": map[string]any{"width": size.Width * cmPerInch, "height": size.Height * cmPerInch}})
}
