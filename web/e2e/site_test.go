package e2e_test

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/report"
	"tuckring/internal/site"
	"tuckring/internal/words"
	"tuckring/web/e2e"
	sitepage "tuckring/web/site"
)

// published writes the puffin's site into a folder and gives its path.
func published(t *testing.T) string {
	t.Helper()
	files, err := sitepage.Files(load(t, puffin), report.DefaultSettings(), words.English)
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "a puffin", "site")
	require.NoError(t, site.Write(filepath.Dir(dir), nil))
	require.NoError(t, site.Write(dir, files))
	return dir
}

// looksWhole fails the test when a picture, a style sheet or the typeface of the open page did not come.
func looksWhole(t *testing.T, reader *e2e.Person) {
	t.Helper()
	reader.Until("all pictures are there", `[...document.images].length === 3 && [...document.images].every(i => i.complete && i.naturalWidth > 0)`)
	reader.Until("the typeface is there", `[...document.fonts].filter(f => f.status === "loaded").length >= 2 && document.fonts.status === "loaded"`)
	assert.Equal(t, 5.0, e2e.Eval[float64](reader, `document.styleSheets.length`), "those of the look, and the running head")
	assert.Equal(t, "rgb(246, 241, 231)", e2e.Eval[string](reader, `getComputedStyle(document.documentElement).backgroundColor`))
}

// The page of a site opens from the disk, without a server, on a phone and at a desk: whole, no wider than the
// screen, and accessible.
func TestASiteOpensFromTheDisk(t *testing.T) {
	page := "file://" + filepath.ToSlash(filepath.Join(published(t), "index.html"))
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, reader *e2e.Person) {
		reader.Open(page)
		reader.Sees("648 units: 630 in 23 rings, 18 in extras")
		reader.Sees("Hot glue and its nozzle burn skin")
		looksWhole(t, reader)
		reader.FitsWidth()
		reader.Expect("Access to XMLHttpRequest") // axe-core itself tries to read the style sheets, which a page on the disk may not
		reader.CheckAccess()
		reader.Picture("site")
		reader.Press("How to build it")
		reader.Until("the page is at its part", `location.hash === "#build" && scrollY > 0`)
	})
}

// A site works in any sub-folder of a web host, without scripts.
func TestASiteWorksInASubFolderOfAHost(t *testing.T) {
	asked := http.FileServer(http.Dir(published(t)))
	host := httptest.NewServer(http.StripPrefix("/club/figures/puffin", asked))
	t.Cleanup(host.Close)
	reader := e2e.Start(t).Phone(t)
	reader.Open(host.URL + "/club/figures/puffin/")
	looksWhole(t, reader)
	reader.FitsWidth()
}

func TestASitePrintsTheBuildingText(t *testing.T) {
	page := "file://" + filepath.ToSlash(filepath.Join(published(t), "index.html"))
	for name, size := range papers {
		reader := e2e.Start(t).Desk(t)
		reader.Open(page)
		looksWhole(t, reader)
		text := keepPrint(t, "site-"+name, reader.Print(chromedp.PaperSize(size)))
		for _, want := range []string{"Puffin on the quay", "Units to fold", "Soot", "Ring 23", "Hot glue and its nozzle burn skin"} {
			assert.Contains(t, text, want)
		}
		assert.NotContains(t, text, "Downloads", "links are no use on paper")
	}
}
