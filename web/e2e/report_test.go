package e2e_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"tuckring/web/e2e"
)

const puffin = "../../testdata/shelf/puffin.tuckring.json"

// papers are the two sizes of paper that makers print on.
var papers = map[string]chromedp.PaperSize{"a4": chromedp.PaperA4, "letter": chromedp.PaperLetter}

func TestReportPages(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.Keep(t, puffin)
		for _, page := range []string{"report", "list", "cut", "kits?people=9", "build"} {
			maker.Open(base + "/" + page)
			maker.Sees("Puffin on the quay")
			maker.FitsWidth()
			maker.CheckAccess()
			maker.Picture("report-" + page)
			for name, size := range papers {
				if page == "report" && name == "letter" {
					maker.Press("Change")
					maker.Picture("report-form")
					maker.Open(base + "/report")
				}
				keepPrint(t, "print-"+page+"-"+name, maker.Print(size))
			}
		}
	})
}

func keepPrint(t *testing.T, name string, pdf []byte) {
	t.Helper()
	path := filepath.Join(e2e.Root(t), "tmp", "pictures", name)
	require.NoError(t, os.WriteFile(path+".pdf", pdf, 0o644))
	require.NoError(t, exec.Command("pdftoppm", "-r", "60", "-png", path+".pdf", path).Run())
}
