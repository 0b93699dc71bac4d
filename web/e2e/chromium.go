package e2e

import (
	"context"
	"encoding/json"
	"sort"
	"strconv"
	"strings"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// chromiumTab is a window of Chromium, driven by its own protocol. Its contexts come from the tab's.
type chromiumTab struct{}

func (chromiumTab) open(ctx context.Context, address string) error {
	return chromedp.Do(ctx, chromedp.Navigate(address))
}

func (chromiumTab) eval(ctx context.Context, expression string) (json.RawMessage, error) {
	raw, err := chromedp.Run(ctx, chromedp.Evaluate[[]byte](expression, chromedp.EvalAwaitPromise))
	return raw, err
}

// look asks the browser's accessibility tree. A page that is just loading has none yet.
func (chromiumTab) look(ctx context.Context, name string, wanted map[string]bool) (thing, []string, error) {
	var found thing
	var names []string
	err := chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
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
			if found == "" {
				found = thing(strconv.FormatInt(int64(n.BackendDOMNodeID), 10))
			}
		}
		return nil
	}))
	sort.Strings(names)
	return found, names, err
}

// said is the text of a value of the accessibility tree.
func said(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	return strings.Trim(string(v.Value), `"`)
}

func (chromiumTab) callOn(ctx context.Context, on thing, function string, args ...any) (json.RawMessage, error) {
	id, err := strconv.ParseInt(string(on), 10, 64)
	if err != nil {
		return nil, err
	}
	var raw []byte
	err = chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		node, err := cdp.Call(ctx, t, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: cdp.BackendNodeID(id)})
		if err != nil {
			return err
		}
		raw, err = chromedp.CallFunctionOn[[]byte](function, onObject(node.Object.ObjectID), args...)(ctx, t)
		return err
	}))
	return raw, err
}

// onObject makes a function call run on an object of the page.
func onObject(id runtime.RemoteObjectID) chromedp.CallOption {
	return func(c *runtime.CallFunctionOnParams) {
		byValue := true
		c.ObjectID, c.ExecutionContextID, c.ReturnByValue = id, 0, &byValue
	}
}

func (chromiumTab) press(ctx context.Context, at Point, touched bool) error {
	if touched {
		return chromedp.Do(ctx, chromedp.TapXY(at.X, at.Y))
	}
	return chromedp.Do(ctx, chromedp.MouseClickXY(at.X, at.Y))
}

func (chromiumTab) hover(ctx context.Context, at Point) error {
	return chromedp.Do(ctx, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at.X, at.Y))
}

func (chromiumTab) hold(ctx context.Context, at Point, touched, first bool) error {
	if touched {
		kind := input.DispatchTouchEventTypeTouchMove
		if first {
			kind = input.DispatchTouchEventTypeTouchStart
		}
		return chromedp.Do(ctx, touch(kind, &input.TouchPoint{X: at.X, Y: at.Y}))
	}
	kind := input.DispatchMouseEventTypeMouseMoved
	if first {
		kind = input.DispatchMouseEventTypeMousePressed
	}
	return chromedp.Do(ctx, chromedp.MouseEvent(kind, at.X, at.Y, chromedp.ButtonLeft, chromedp.ClickCount(1),
		func(e *input.DispatchMouseEventParams) { e.Buttons = 1 }))
}

func (chromiumTab) letGo(ctx context.Context, at Point, touched bool) error {
	if touched {
		return chromedp.Do(ctx, touch(input.DispatchTouchEventTypeTouchEnd))
	}
	return chromedp.Do(ctx, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, at.X, at.Y, chromedp.ButtonLeft, chromedp.ClickCount(1)))
}

// upload chooses a file for the file field that an expression gives. (A field that was put into the page later is unknown to
// the tree that chromedp's own action looks it up in.)
func upload(field, path string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		found, err := cdp.Call(ctx, t, runtime.Evaluate, runtime.EvaluateParams{Expression: field})
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, t, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, ObjectID: found.Result.ObjectID})
		return err
	})
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

func (chromiumTab) write(ctx context.Context, text string) error {
	return chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
		return err
	}))
}

func (chromiumTab) keys(ctx context.Context, keys string, modifiers []chromedp.Modifier) error {
	return chromedp.Do(ctx, chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

func (chromiumTab) picture(ctx context.Context, whole bool) ([]byte, error) {
	if whole {
		return chromedp.Run(ctx, chromedp.FullScreenshot(100))
	}
	return chromedp.Run(ctx, chromedp.CaptureScreenshot())
}

func (chromiumTab) print(ctx context.Context, size chromedp.PaperSize) ([]byte, error) {
	return chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size)))
}
