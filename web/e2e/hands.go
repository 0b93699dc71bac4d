package e2e

import (
	"context"
	"fmt"
	"sort"
	"strings"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Point is a place in the window, in CSS pixels from its top left corner.
type Point struct{ X, Y float64 }

// The roles (WAI-ARIA) of things that are pressed and of fields that are filled.
var (
	pressable = roles("button", "link", "checkbox", "radio", "switch", "tab", "menuitem", "menuitemcheckbox", "menuitemradio", "option", "gridcell", "DisclosureTriangle")
	fillable  = roles("textbox", "searchbox", "spinbutton", "combobox", "slider", "listbox", "ColorWell", "Date", "button")
)

func roles(names ...string) map[string]bool {
	m := make(map[string]bool, len(names))
	for _, n := range names {
		m[n] = true
	}
	return m
}

// Press presses the button, link or choice of this name: by mouse at a desk, by touch on a phone.
func (p *Person) Press(name string) {
	p.t.Helper()
	p.PressAt(p.Middle(name))
}

// Finds waits until something pressable of this name is there.
func (p *Person) Finds(name string) {
	p.t.Helper()
	p.find(name, pressable)
}

// Has tells whether something pressable of this name is there now; it does not wait.
func (p *Person) Has(name string) bool {
	p.t.Helper()
	id, _ := p.look(name, pressable)
	return id != 0
}

// PressAt presses a place in the window.
func (p *Person) PressAt(at Point) {
	p.t.Helper()
	if p.touch {
		p.Do(chromedp.TapXY(at.X, at.Y))
		return
	}
	p.Do(chromedp.MouseClickXY(at.X, at.Y))
}

// Fill puts text into the field of this label, in place of what stands there, by the keyboard.
func (p *Person) Fill(label, text string) {
	p.t.Helper()
	id := p.find(label, fillable)
	p.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, dom.Focus, dom.FocusParams{BackendNodeID: id})
		return err
	}))
	Eval[bool](p, "document.activeElement.select?.(), true")
	if text == "" {
		p.Keys("\b")
		return
	}
	p.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
		return err
	}))
}

// Choose picks the option of this visible text in the select of this label.
func (p *Person) Choose(label, option string) {
	p.t.Helper()
	id := p.find(label, fillable)
	found := mustCallOn[bool](p, id, `function (text) {
		const o = [...this.options ?? []].find(o => o.text.trim() === text);
		if (!o) return false;
		this.value = o.value;
		this.dispatchEvent(new Event("input", {bubbles: true}));
		this.dispatchEvent(new Event("change", {bubbles: true}));
		return true;
	}`, option)
	if !found {
		p.t.Fatalf("%q offers no %q", label, option)
	}
}

// SetField sets the value of a field that keys cannot fill, such as a colour.
func (p *Person) SetField(label, value string) {
	p.t.Helper()
	mustCallOn[bool](p, p.find(label, fillable), `function (v) {
		this.value = v;
		this.dispatchEvent(new Event("input", {bubbles: true}));
		this.dispatchEvent(new Event("change", {bubbles: true}));
		return true;
	}`, value)
}

// Field is the value that stands in the field of this label.
func (p *Person) Field(label string) string {
	p.t.Helper()
	return mustCallOn[string](p, p.find(label, fillable), `function () { return this.value; }`)
}

// Upload chooses a file for the file field of this label. The field is found by its label itself:
// Chromium's name of a file field also tells the file chosen so far.
func (p *Person) Upload(label, path string) {
	p.t.Helper()
	field := fmt.Sprintf(`[...document.querySelectorAll("label")].find(l => l.textContent.trim() === %q)?.control`, label)
	p.Until("a file field called "+label, field)
	p.Do(chromedp.SetUploadFiles(chromedp.JSPath(field), []string{path}))
}

// Keys types keys to whatever has the focus; kb of chromedp names the special ones (kb.ArrowRight).
func (p *Person) Keys(keys string, modifiers ...chromedp.Modifier) {
	p.t.Helper()
	p.Do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

// Middle is the place of something pressable, scrolled into view. As a person does, it waits until the thing
// rests and nothing lies over it.
func (p *Person) Middle(name string) Point {
	p.t.Helper()
	return p.resting(name, func() (place, error) {
		return callOn[place](p, p.find(name, pressable), `function () {
			this.scrollIntoView({block: "center", inline: "center", behavior: "instant"});
			const r = [...this.getClientRects()].find(r => r.width > 0 && r.height > 0) ?? this.getBoundingClientRect();
			const x = r.left + r.width / 2, y = r.top + r.height / 2;
			const top = document.elementFromPoint(x, y);
			const free = top && (this.contains(top) || top.contains(this) || top.closest("label")?.control === this);
			return {x, y, under: free ? "" : top?.cloneNode().outerHTML ?? "the edge of the window"};
		}`)
	})
}

// MiddleOf is the place of the first element of a CSS selector, scrolled into view, once it rests.
func (p *Person) MiddleOf(selector string) Point {
	p.t.Helper()
	p.Until(selector+" is there", fmt.Sprintf("document.querySelector(%q)", selector))
	return p.resting(selector, func() (place, error) {
		return tryEval[place](p, fmt.Sprintf(`(() => {
			const e = document.querySelector(%q);
			e.scrollIntoView({block: "nearest", inline: "nearest"});
			const r = e.getBoundingClientRect();
			return {x: r.left + r.width / 2, y: r.top + r.height / 2, under: ""};
		})()`, selector))
	})
}

// resting asks where something is until two answers, more than a frame apart, are the same.
func (p *Person) resting(name string, where func() (place, error)) Point {
	p.t.Helper()
	var last place
	asked := false
	for end := time.Now().Add(p.patience); ; time.Sleep(25 * time.Millisecond) {
		at, err := where()
		if err == nil && asked && at == last && at.Under == "" {
			return Point{at.X, at.Y}
		}
		if time.Now().After(end) {
			p.t.Fatalf("%q on %s lies at %.0f, %.0f under %s, or does not rest (%v)", name, p.Path(), at.X, at.Y, at.Under, err)
		}
		last, asked = at, err == nil
	}
}

// Hover holds the mouse over a place without pressing; a finger cannot.
func (p *Person) Hover(at Point) {
	p.t.Helper()
	p.Do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at.X, at.Y))
}

// Stroke draws through the given places without letting go: the mouse with its button held, or one
// finger.
func (p *Person) Stroke(places ...Point) {
	p.t.Helper()
	p.StrokeBy(places, func() {})
}

// StrokeBy draws like Stroke and calls after whenever a place is reached.
func (p *Person) StrokeBy(places []Point, after func()) {
	p.t.Helper()
	for i, at := range places {
		p.Do(p.hold(at, i == 0))
		after()
	}
	p.Do(p.letGo(places[len(places)-1]))
}

func (p *Person) hold(at Point, first bool) chromedp.Action[chromedp.Void] {
	if !p.touch {
		kind := input.DispatchMouseEventTypeMouseMoved
		if first {
			kind = input.DispatchMouseEventTypeMousePressed
		}
		return chromedp.MouseEvent(kind, at.X, at.Y, chromedp.ButtonLeft, chromedp.ClickCount(1),
			func(e *input.DispatchMouseEventParams) { e.Buttons = 1 })
	}
	kind := input.DispatchTouchEventTypeTouchMove
	if first {
		kind = input.DispatchTouchEventTypeTouchStart
	}
	return touch(kind, &input.TouchPoint{X: at.X, Y: at.Y})
}

func (p *Person) letGo(at Point) chromedp.Action[chromedp.Void] {
	if p.touch {
		return touch(input.DispatchTouchEventTypeTouchEnd)
	}
	return chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, at.X, at.Y, chromedp.ButtonLeft, chromedp.ClickCount(1))
}

func touch(kind input.DispatchTouchEventType, points ...*input.TouchPoint) chromedp.Action[chromedp.Void] {
	if points == nil {
		points = []*input.TouchPoint{}
	}
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
		return err
	})
}

// find waits for the one thing of this name and role.
func (p *Person) find(name string, wanted map[string]bool) cdp.BackendNodeID {
	p.t.Helper()
	var id cdp.BackendNodeID
	found := p.until(func() bool { id, _ = p.look(name, wanted); return id != 0 })
	if !found {
		_, names := p.look("", wanted)
		p.t.Fatalf("nothing is called %q on %s; there are: %s", name, p.Path(), strings.Join(names, ", "))
	}
	return id
}

// look asks the browser's accessibility tree for the first thing of this name and one of the roles;
// with no name it lists the names there are.
func (p *Person) look(name string, wanted map[string]bool) (cdp.BackendNodeID, []string) {
	ctx, cancel := context.WithTimeout(p.ctx, Patience)
	defer cancel()
	var id cdp.BackendNodeID
	var names []string
	_ = chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error { // a page that is just loading has no tree yet
		doc, err := cdp.Call(ctx, t, dom.GetDocument, dom.GetDocumentParams{})
		if err != nil {
			return err
		}
		tree, err := cdp.Call(ctx, t, accessibility.QueryAXTree, accessibility.QueryAXTreeParams{NodeID: doc.Root.NodeID, AccessibleName: name})
		if err != nil {
			return err
		}
		for _, n := range tree.Nodes {
			if n.Ignored || n.Role == nil || !wanted[said(n.Role)] {
				continue
			}
			names = append(names, said(n.Name))
			if id == 0 {
				id = n.BackendDOMNodeID
			}
		}
		return nil
	}))
	sort.Strings(names)
	return id, names
}

// said is the text of a value of the accessibility tree.
func said(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	return strings.Trim(string(v.Value), `"`)
}

// place is where something is, and what lies over it.
type place struct {
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
	Under string  `json:"under"`
}

// mustCallOn is callOn for an element that has to be there.
func mustCallOn[T any](p *Person, id cdp.BackendNodeID, function string, args ...any) T {
	p.t.Helper()
	v, err := callOn[T](p, id, function, args...)
	if err != nil {
		p.t.Fatalf("in the page: %v", err)
	}
	return v
}

// callOn calls a JavaScript function with the element as this. It fails where the element is gone.
func callOn[T any](p *Person, id cdp.BackendNodeID, function string, args ...any) (T, error) {
	ctx, cancel := context.WithTimeout(p.ctx, Patience)
	defer cancel()
	var v T
	err := chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		node, err := cdp.Call(ctx, t, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: id})
		if err != nil {
			return err
		}
		v, err = chromedp.CallFunctionOn[T](function, onObject(node.Object.ObjectID), args...)(ctx, t)
		return err
	}))
	return v, err
}

// onObject makes a function call run on an object of the page.
func onObject(id runtime.RemoteObjectID) chromedp.CallOption {
	return func(c *runtime.CallFunctionOnParams) { c.ObjectID, c.ExecutionContextID = id, 0 }
}
