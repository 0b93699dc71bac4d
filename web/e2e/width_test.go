package e2e_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// No page is wider than a phone, whatever stands on it: titles and names without a space, as long as a document
// may have them, all 64 colours, 1000 rings; with stock, packs and prices of every colour too.
func TestNothingIsWiderThanAPhone(t *testing.T) {
	app := e2e.Start(t)
	f := awkward(t, 8, figure.MaxRings)
	base := app.KeepFigure(t, f)
	var own []string
	for _, c := range f.Colours {
		own = append(own, `"`+c.ID+`":{"sides":"both","pack_sheets":25,"pack_price":"1234.56","stock_sheets":1,"stock_cut":11,"stock_parts":"210x120"}`)
	}
	settings := `{"spare":10,"currency":"CHF","inches":true,"people":30,"session_min":45,"colours":{` + strings.Join(own, ",") + `}}`
	require.NoError(t, app.Store.SetSettings(context.Background(), strings.TrimPrefix(base, "/d/"), []byte(settings)))
	view, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	edit, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerEdit)
	require.NoError(t, err)
	for _, width := range []int{360} { // the narrowest that phones are sold with; the others have more room
		reader := app.Screen(t, width, 844, true)
		reader.Patient(60e9)
		visit := func(base string, paths []string) {
			for _, path := range paths {
				reader.Open(base + path)
				reader.Until("the page", "document.readyState === 'complete'")
				wide := e2e.Eval[[]string](reader, `(() => {
					const out = [];
					if (document.documentElement.scrollWidth > innerWidth || innerWidth > screen.width) {
						out.push(location.pathname + ": " + document.documentElement.scrollWidth + " in " + innerWidth);
						for (const e of document.querySelectorAll("body *")) {
							const r = e.getBoundingClientRect();
							if (r.right > screen.width + 1 && !e.closest(".table, .view-scroll, .site-pattern")) out.push(e.tagName + "." + e.className + " to " + Math.round(r.right));
							if (out.length > 12) break;
						}
					}
					for (const e of document.querySelectorAll(".picture-in, .size-profile, .plan-picture")) {
						if (e.scrollWidth > e.clientWidth) out.push(location.pathname + ": the picture " + e.parentElement.className + " is " + e.scrollWidth + " in " + e.clientWidth);
					}
					return out;
				})()`)
				for _, line := range wide {
					t.Errorf("%d px: %s", width, line)
				}
			}
		}
		visit("", pages)
		visit(base, makerPages)
		visit(base, figurePages)
		visit("/v/"+view.Token, figurePages)
		visit("/e/"+edit.Token, []string{"", "/report", "/size", "/check"})
	}
}

// Names of 80 letters, 64 of them, stay in the 3D page's panel, and on a phone in rows that scroll down.
func TestLongNamesStayInTheirPanelIn3D(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, awkward(t, 8, 4))
		maker.Patient(60e9)
		maker.Open(base + "/stand")
		maker.Until("the colours", "document.querySelectorAll('.stand-papers .stand-paper').length === 64 && document.querySelector('.stand-papers').offsetParent !== null")
		require.LessOrEqual(t, e2e.Eval[float64](maker, `Math.max(...[...document.querySelectorAll('.stand-paper')].map((b) => b.getBoundingClientRect().width)) / document.querySelector('.stand-papers').clientWidth`), 1.0)
		require.Zero(t, e2e.Eval[float64](maker, `document.querySelector('.stand-papers').scrollWidth - document.querySelector('.stand-papers').clientWidth`), "nothing lies to the side")
		maker.FitsWidth()
		maker.View("stand-long-names")
	})
}
