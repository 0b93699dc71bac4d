package e2e

import (
	"context"
	"encoding/json"

	"github.com/chromedp/chromedp"
)

// window is a browser's window as a person has it, whatever browser it is. Each method fails where the browser
// refuses, has gone, or does not answer before the context ends.
type window interface {
	open(ctx context.Context, address string) error
	// eval gives the value of a JavaScript expression as JSON; promises are awaited.
	eval(ctx context.Context, expression string) (json.RawMessage, error)
	// look finds the first thing of an accessible name and one of the roles, "" if there is none; with no name it
	// lists the names there are.
	look(ctx context.Context, name string, wanted map[string]bool) (thing, []string, error)
	// callOn calls a JavaScript function with a thing of the page as this. It fails where the thing is gone.
	callOn(ctx context.Context, on thing, function string, args ...any) (json.RawMessage, error)
	press(ctx context.Context, at Point, touch bool) error
	hover(ctx context.Context, at Point) error
	// hold goes to a place with the button or finger down; first puts it down there.
	hold(ctx context.Context, at Point, touch, first bool) error
	letGo(ctx context.Context, at Point, touch bool) error
	// write types into what has the focus.
	write(ctx context.Context, text string) error
	keys(ctx context.Context, keys string, modifiers []chromedp.Modifier) error
	// picture takes a PNG of the window, or of the whole page.
	picture(ctx context.Context, whole bool) ([]byte, error)
	print(ctx context.Context, size chromedp.PaperSize) ([]byte, error)
}

// thing is an element of the open page, by the browser's own name for it.
type thing string
