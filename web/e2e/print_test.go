package e2e_test

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

const lighthouse = "../../testdata/shelf/lighthouse.tuckring.json"

// awkward is a figure as large and with names as wide as a document may have: a title of 200 letters W, 64
// colours whose names are 80 letters without a space.
func awkward(t *testing.T, units, rings int) *figure.Figure {
	t.Helper()
	var colours []figure.Colour
	for i := range figure.MaxColours {
		colours = append(colours, figure.Colour{ID: "c" + strconv.Itoa(i), Name: strings.Repeat("W", figure.MaxName-2) + fmt.Sprintf("%02d", i),
			Hex: fmt.Sprintf("#%02x%02x%02x", i*37%256, i*91%256, i*53%256)})
	}
	f := figure.Tube(strings.Repeat("W", figure.MaxTitle), figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, colours, units, rings)
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8((i + 7*k) % len(colours))
		}
	}
	for i := range 12 {
		f.Extras = append(f.Extras, figure.Extra{ID: f.NextExtra, Kind: figure.Glued, Name: strings.Repeat("M", figure.MaxName), Outline: figure.Disc, Diameter: 9, Ring: 1 + i*rings/12})
		f.NextExtra++
	}
	require.Empty(t, f.Validate())
	return f
}

// pdfPages are the texts of the pages of a print.
func pdfPages(text string) []string { return strings.Split(strings.TrimSuffix(text, "\f"), "\f") }

// Printing the pattern page prints the pattern, as it is now: its title, ring numbers and legend, and nothing of
// the editor.
func TestPatternPagePrintsThePattern(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	base := app.Keep(t, lighthouse)
	maker.Open(base)
	maker.Until("the editor", "document.querySelector('#pattern canvas')")
	for name, size := range papers {
		text := keepPrint(t, "print-pattern-"+name, maker.Print(size))
		require.Len(t, pdfPages(text), 1, text)
		for _, want := range []string{"Harbour lighthouse", "Brick red: 278 units", "front", "1 of 1"} {
			assert.Contains(t, text, want)
		}
		for ring := range 35 {
			assert.Regexp(t, `(?m)^\s*`+strconv.Itoa(ring+1)+`\s`, text, "the number of ring %d", ring+1)
		}
		assert.Greater(t, len(regexp.MustCompile(`\bB\b`).FindAllString(text, -1)), 100, "units carry their signs")
		for _, control := range []string{"Undo", "Select", "Zoom", "Tuckring"} {
			assert.NotContains(t, text, control)
		}
	}
	assert.Zero(t, e2e.Eval[int](maker, "document.querySelectorAll('#pattern-pages svg').length"), "they are gone after the print")
}

// A large figure's pattern is printed on as many pages as it takes, none of them empty.
func TestLargePatternPrintsOnSeveralPages(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	base := app.KeepFigure(t, awkward(t, 100, 60))
	maker.Open(base)
	maker.Until("the editor", "document.querySelector('#pattern canvas')")
	for name, size := range papers {
		text := keepPrint(t, "print-pattern-large-"+name, maker.Print(size))
		pages := pdfPages(text)
		require.Greater(t, len(pages), 5)
		for i, page := range pages {
			assert.Contains(t, page, fmt.Sprintf("%d of %d", i+1, len(pages)))
		}
		assert.Contains(t, text, "part 3 of 3")
	}
}

// Whoever sees the figure gets the handout from the share, report and build pages, as a file for each paper.
func TestHandoutIsAtHand(t *testing.T) {
	app := e2e.Start(t)
	base := app.Keep(t, lighthouse)
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	reader := app.Phone(t)
	for _, path := range []string{base + "/share", base + "/report", base + "/build", "/v/" + link.Token, "/v/" + link.Token + "/report", "/v/" + link.Token + "/build"} {
		reader.Open(path)
		for _, label := range []string{"Handout to print, A4 (PDF)", "Handout to print, Letter (PDF)"} {
			reader.Sees(label)
		}
		kinds := e2e.Eval[[]string](reader, `Promise.all([...document.querySelectorAll("a[href*='/handout-']")].map(a =>
			fetch(a.href).then(r => r.headers.get("Content-Type") + " " + decodeURIComponent(r.headers.get("Content-Disposition")))))`)
		require.Len(t, kinds, 2, path)
		assert.Equal(t, "application/pdf attachment; filename=Harbour-lighthouse.handout-a4.pdf", strings.ReplaceAll(kinds[0], `"`, ""))
		assert.Contains(t, kinds[1], "handout-letter.pdf")
	}
}

// Every page of a print but the first carries what it is and of which figure at its head, and all carry their
// number at the foot; nothing to press is printed anywhere.
func TestPrintedPagesSayWhatTheyAre(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	figures := map[string]string{"lighthouse": app.Keep(t, lighthouse), "awkward": app.KeepFigure(t, awkward(t, 12, 40))}
	for figureName, base := range figures {
		for path, purpose := range map[string]string{"build": "Build sheet", "cut": "Cutting plan", "list": "Shopping list", "kits": "Kits to share",
			"report": "", "size": "Size", "check": "Check: will it hold?"} {
			maker.Open(base + "/" + path)
			labels := e2e.Eval[[]string](maker, "[...document.querySelectorAll('button, .button')].map(b => b.textContent.trim())"+
				".filter(s => s.length > 9 && ![...document.querySelectorAll('h1, h2, h3')].some(h => h.textContent === s))")
			for name, size := range papers {
				if figureName == "lighthouse" && name != "letter" {
					continue // each page on each paper once, and the awkward figure, which has most to say, on both
				}
				text := keepPrint(t, "print-"+path+"-"+figureName+"-"+name, maker.Print(size))
				pages := pdfPages(text)
				assert.Contains(t, pages[0], map[string]string{"lighthouse": "Harbour lighthouse", "awkward": "WWWWWWWWWWWW"}[figureName], path)
				assert.NotContains(t, text, "[findings")
				for i, page := range pages {
					assert.Regexp(t, fmt.Sprintf(`\b%d\s*/\s*%d\s*$`, i+1, len(pages)), page, "%s, page %d", path, i+1)
					head, _, _ := strings.Cut(strings.TrimLeft(page, " \n"), "\n")
					if i > 0 {
						assert.Contains(t, head, purpose, "%s %s, page %d", figureName, path, i+1)
						assert.Contains(t, head, map[string]string{"lighthouse": "Harbour lighthouse", "awkward": "WWWWWWWWWWWW"}[figureName])
					}
					assert.LessOrEqual(t, len([]rune(strings.TrimSpace(head))), 130)
				}
				for _, label := range labels {
					assert.NotRegexp(t, `(?m)^\s*`+regexp.QuoteMeta(label)+`\s*$`, text, "%s: nothing to press on paper", path)
				}
			}
		}
	}
}

// A table is not parted after its first row or before its last, wherever the page ends; its head stands over the
// rows of every page.
func TestTablesArePartedWell(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	maker.Open(app.KeepFigure(t, awkward(t, 12, 40)) + "/list")
	parted := 0
	for push := 190; push <= 300; push += 5 {
		e2e.Eval[bool](maker, fmt.Sprintf(`(() => {
			const push = document.getElementById("push") ?? document.createElement("div");
			push.id = "push";
			push.style.height = "%dmm";
			document.querySelector(".list-table").parentElement.before(push);
			return true;
		})()`, push))
		pages := pdfPages(e2e.PDFText(t, maker.Print(papers["a4"])))
		all := 0
		for i, page := range pages {
			rows := strings.Count(page, "A4, 80 g/m²") // once in each row
			if rows == 0 {
				continue
			}
			all += rows
			assert.Greater(t, rows, 1, "%d mm lower, page %d has a single row", push, i+1)
			assert.Contains(t, page, "Left over", "%d mm lower, page %d has rows without a head", push, i+1)
		}
		assert.Equal(t, figure.MaxColours, all)
		if len(pages) > 1 {
			parted++
		}
	}
	assert.Positive(t, parted)
}

// The printed 3D page and share page say of which figure they are; a heading that only leads to buttons is not
// printed, for buttons are not.
func TestPrinted3DAndSharePagesNameTheFigure(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	base := app.Keep(t, lighthouse)
	for _, page := range []string{"/stand", "/share"} {
		maker.Open(base + page)
		maker.Until("the page", "document.readyState === 'complete'")
		text := keepPrint(t, "print"+strings.ReplaceAll(page, "/", "-"), maker.Print(papers["a4"]))
		assert.Contains(t, text, "Harbour lighthouse", page)
		assert.NotContains(t, text, "On paper", page)
		assert.NotContains(t, text, "As a file", page)
	}
}
