package e2e

import (
	"context"
	"fmt"
	"strings"
	"time"

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
	return id != ""
}

// PressAt presses a place in the window.
func (p *Person) PressAt(at Point) {
	p.t.Helper()
	p.does(func(ctx context.Context) error { return p.window.press(ctx, at, p.touch) })
}

// does something in the window, and fails the test when it fails.
func (p *Person) does(deed func(ctx context.Context) error) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, p.patience)
	defer cancel()
	if err := deed(ctx); err != nil {
		p.t.Fatal(err)
	}
}

// Fill puts text into the field of this label, in place of what stands there, by the keyboard.
func (p *Person) Fill(label, text string) {
	p.t.Helper()
	mustCallOn[bool](p, p.find(label, fillable), "function () { this.focus(); this.select?.(); return true; }")
	if text == "" {
		p.Keys("\b")
		return
	}
	p.does(func(ctx context.Context) error { return p.window.write(ctx, text) })
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
	p.Do(upload(field, path))
}

// Keys types keys to whatever has the focus; kb of chromedp names the special ones (kb.ArrowRight).
func (p *Person) Keys(keys string, modifiers ...chromedp.Modifier) {
	p.t.Helper()
	p.does(func(ctx context.Context) error { return p.window.keys(ctx, keys, modifiers) })
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
			if (this.closest("form[aria-busy=true]")) return {x, y, under: "a form that is being looked through"};
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
	p.does(func(ctx context.Context) error { return p.window.hover(ctx, at) })
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
		p.does(func(ctx context.Context) error { return p.window.hold(ctx, at, p.touch, i == 0) })
		after()
	}
	p.does(func(ctx context.Context) error { return p.window.letGo(ctx, places[len(places)-1], p.touch) })
}

// find waits for the one thing of this name and role.
func (p *Person) find(name string, wanted map[string]bool) thing {
	p.t.Helper()
	var id thing
	found := p.until(func() bool { id, _ = p.look(name, wanted); return id != "" })
	if !found {
		_, names := p.look("", wanted)
		p.t.Fatalf("nothing is called %q on %s; there are: %s", name, p.Path(), strings.Join(names, ", "))
	}
	return id
}

// look asks the window for the first thing of this name and one of the roles; with no name it lists the names there
// are. A page that is just loading may have none yet.
func (p *Person) look(name string, wanted map[string]bool) (thing, []string) {
	ctx, cancel := context.WithTimeout(p.ctx, Patience)
	defer cancel()
	id, names, _ := p.window.look(ctx, name, wanted)
	return id, names
}

// place is where something is, and what lies over it.
type place struct {
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
	Under string  `json:"under"`
}

// mustCallOn is callOn for an element that has to be there.
func mustCallOn[T any](p *Person, id thing, function string, args ...any) T {
	p.t.Helper()
	v, err := callOn[T](p, id, function, args...)
	if err != nil {
		p.t.Fatalf("in the page: %v", err)
	}
	return v
}

// callOn calls a JavaScript function with the element as this. It fails where the element is gone.
func callOn[T any](p *Person, id thing, function string, args ...any) (T, error) {
	ctx, cancel := context.WithTimeout(p.ctx, Patience)
	defer cancel()
	return read[T](p.window.callOn(ctx, id, function, args...))
}
