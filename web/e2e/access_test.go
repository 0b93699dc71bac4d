package e2e_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// pages are all pages that are not a figure's. A new page joins here, or below.
var pages = []string{
	"/",
	"/away",
	"/new",
	"/nowhere",
}

// makerPages are the pages of a figure that only its maker opens.
var makerPages = []string{
	"/share",
}

// figurePages are the pages of a figure for everybody who may see it.
var figurePages = []string{
	"",
	"/build",
	"/check",
	"/cut",
	"/kits?people=9",
	"/list",
	"/pattern",
	"/report",
	"/size?asked=1&height=30&wide=12&in=cm&pick=0",
	"/stand",
}

// TestEveryPageIsAccessibleAndFits opens every page at 360, 768 and 1920 px: nothing wider than the screen, no script
// error, no breach of the content policy; on a phone and on a projector no breach of WCAG 2.2 AA (axe-core). What a page
// says to who comes by a link is looked at on a phone.
func TestEveryPageIsAccessibleAndFits(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["puffin"]
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	for _, width := range []int{360, 768, 1920} {
		reader := app.Screen(t, width, 900, width < 1000)
		visit := func(base string, paths []string) {
			for _, path := range paths {
				reader.Open(base + path)
				reader.FitsWidth()
				if width != 768 {
					reader.CheckAccess()
				}
			}
		}
		visit("", pages)
		visit(base, makerPages)
		visit(base, figurePages)
		if width == 360 {
			visit("/v/"+link.Token, figurePages)
		}
	}
}

// TestPagesWorkWithoutScripts reads every page but those that need scripts with scripts turned off.
func TestPagesWorkWithoutScripts(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["puffin"]
	reader := app.Phone(t)
	reader.WithoutScripts()
	for path, says := range map[string]string{
		"/":              "Puffin on the quay",
		"/new":           "Units per ring",
		"/away":          "No figure is put away.",
		base + "/share":  "There is no link yet",
		base + "/report": "Units to fold",
		base + "/check":  "Check: will it hold?",
		base + "/size":   "Choose a height and width",
		base + "/list":   "sheets to buy",
		base + "/cut":    "The blade comes down",
		base + "/kits":   "Kit 1 of 1",
		base + "/build":  "Ring 1",
	} {
		reader.Open(path)
		reader.Sees(says)
	}
	reader.Open("/new")
	reader.Fill("Title", "Made without scripts")
	reader.Press("Make the figure")
	reader.Until("the new figure's page", "document.title.startsWith('Made without scripts')")
}
