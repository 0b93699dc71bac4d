package e2e_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/e2e"
)

const puffin = "../../testdata/shelf/puffin.tuckring.json"

// papers are the two sizes of paper that makers print on.
var papers = map[string]chromedp.PaperSize{"a4": chromedp.PaperA4, "letter": chromedp.PaperLetter}

func TestMakerChangesWhatTheReportRestsOn(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.Keep(t, puffin)
		maker.Open(base)
		maker.Press("Report")
		maker.Sees("Units to fold")
		maker.Picture("report")
		maker.Press("Change")
		maker.Fill("Spare units", "1,5")
		maker.Fill("People", "9")
		maker.Fill("Length of a session", "90")
		maker.Press("S Soot")
		maker.Fill("Price of a pack (Soot)", "4,99")
		maker.View("report-form")
		maker.Press("Save and recalculate")
		maker.Sees("2 entries need another look. Nothing was changed.")
		assert.Equal(t, "1,5", maker.Field("Spare units"), "what was typed stays")
		assert.Equal(t, "9", maker.Field("People"))
		maker.FitsWidth()
		maker.CheckAccess()
		maker.View("report-refused")

		maker.Fill("Spare units", "10")
		maker.Fill("Price of a pack (Soot)", "4.99")
		maker.Fill("Sheets per pack (Soot)", "25")
		maker.Press("Save and recalculate")
		maker.Sees("Saved with this figure")
		maker.Sees("Settings: A4, 80 g/m², 10 % spare, 9 people, pace: Beginner")
		maker.Sees("sessions of 90 minutes with 9 people")
		maker.Sees("€4.99 and more")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("report-kept")
		maker.Reload()
		maker.Press("Change")
		assert.Equal(t, "90", maker.Field("Length of a session"), "kept with the figure")
	})
}

// With packs, prices and stock the list has every column there is: none lies beyond the table's edge.
func TestShoppingListFitsAPhone(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.Keep(t, puffin)
		maker.Open(base + "/report")
		maker.Press("Change")
		maker.Press("S Soot")
		maker.Fill("Sheets per pack (Soot)", "100")
		maker.Fill("Price of a pack (Soot)", "1234.56")
		maker.Fill("Sheets you have (Soot)", "2")
		maker.Press("Save and recalculate")
		maker.Sees("Saved with this figure")
		maker.Open(base + "/list")
		maker.Sees("1 pack of 100")
		const beyond = "(() => { const t = document.querySelector('.list .table'); return t.scrollWidth - t.clientWidth; })()"
		assert.LessOrEqual(t, e2e.Eval[int](maker, beyond), 0)
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("list-all-columns")
	})
}

func TestReportSettingsWorkWithoutScripts(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Phone(t)
	maker.WithoutScripts()
	maker.Open(app.Keep(t, puffin) + "/report")
	maker.Press("Change")
	maker.Fill("Sheet", "A3")
	maker.Press("Save and recalculate")
	maker.Sees("A3: 64 units from each") // ISO 216: twice an A4, which gives 32
	assert.False(t, maker.Has("Print"), "printing is the browser's own then")
}

// The trade.s example: at 53 × 37 an A4 gives 29, at 52 × 37 it gives 32; four times 52.5 are the 210 of an A4.
func TestMakerTakesANearbySize(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		f := load(t, puffin)
		f.Unit.LongMM = 53
		base := app.KeepFigure(t, f)
		maker.Open(base + "/report")
		maker.Sees("A4: 29 units from each")
		maker.Press("Use 52.5 × 37 mm")
		maker.Sees("The units are 52.5 × 37 mm now.")
		maker.Sees("A4: 32 units from each")
		maker.CheckAccess()
		maker.Press("Back to 53 × 37 mm")
		maker.Sees("A4: 29 units from each")
	})
}

func TestStopwatchTimesTenUnits(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		maker.Open(app.Keep(t, puffin) + "/report")
		maker.Press("Change")
		e2e.Eval[bool](maker, "globalThis.clock = 1000, performance.now = () => clock, true")
		maker.Press("Start")
		for n := range 10 {
			e2e.Eval[bool](maker, fmt.Sprintf("clock += %d, true", 60000-2500*n))
			maker.Press("Unit done")
		}
		assert.Equal(t, "60 57.5 55 52.5 50 47.5 45 42.5 40 37.5", maker.Field("Own stopwatch"))
		maker.Sees("Your times are in the field")
		maker.Press("Save and recalculate")
		maker.Sees("pace: Own stopwatch")
	})
}

func TestTicksOfTheBuildSheetStay(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.Keep(t, puffin)
		maker.Open(base + "/build")
		maker.Sees("0 of 23 rings built")
		maker.Press("Ring 1")
		maker.Press("Ring 2")
		maker.Sees("2 of 23 rings built")
		maker.View("build")
		maker.Reload()
		maker.Sees("2 of 23 rings built")
		maker.Press("Clear all ticks")
		maker.Sees("0 of 23 rings built")
	})
}

func load(t *testing.T, name string) *figure.Figure {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f
}

// keepPrint keeps a printed page in tmp/pictures, to be looked at, and gives its text.
func keepPrint(t *testing.T, name string, pdf []byte) string {
	t.Helper()
	path := filepath.Join(e2e.Root(t), "tmp", "pictures", name)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path+".pdf", pdf, 0o644))
	require.NoError(t, exec.Command("pdftoppm", "-r", "70", "-png", path+".pdf", path).Run())
	return e2e.PDFText(t, pdf)
}

// twelveColours is a figure of twelve papers with long names.
func twelveColours() *figure.Figure {
	names := []string{"Red", "Orange", "Yellow", "Light green", "Dark green", "Turquoise", "Sky blue", "Navy", "Violet", "Pink",
		"Brown of the old fishing nets on the quay", "White"}
	var colours []figure.Colour
	for i, name := range names {
		colours = append(colours, figure.Colour{ID: "c" + strconv.Itoa(i), Name: name, Hex: fmt.Sprintf("#%02x%02x%02x", 20*i+15, 255-20*i, 97*i%256)})
	}
	f := figure.Tube("Twelve flags over the harbour", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, colours, 24, 36)
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8(i / 3)
		}
	}
	return f
}

// The shopping list of twelve colours is one page, tells what it is and for which figure, and what is
// printed adds up.
func TestShoppingListOfTwelveColoursIsOnePage(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	f := twelveColours()
	base := app.KeepFigure(t, f)
	settings := []string{`"sheet":"A4","currency":"EUR","spare":5`}
	var own []string
	for i, c := range f.Colours {
		own = append(own, fmt.Sprintf(`%q:{"pack_sheets":%d,"pack_price":"%d.%02d","stock_sheets":%d}`, c.ID, 2+i%3, 1+i%4, 5+7*i, i%2))
	}
	settings = append(settings, `"colours":{`+strings.Join(own, ",")+`}`)
	require.NoError(t, app.Store.SetSettings(context.Background(), strings.TrimPrefix(base, "/d/"), []byte("{"+strings.Join(settings, ",")+"}")))
	maker.Open(base + "/list")
	maker.FitsWidth()
	maker.CheckAccess()
	maker.Picture("list-twelve")
	for name, size := range papers {
		text := keepPrint(t, "print-list-twelve-"+name, maker.Print(size))
		assert.Equal(t, 1, strings.Count(text, "\f"), "pages on %s", name)
		assert.Contains(t, text, "Shopping list")
		assert.Contains(t, text, f.Title)
		assert.NotContains(t, text, "To the report", "nothing to press on paper")
		assert.NotContains(t, text, "runs on your own machine")
		for _, c := range f.Colours {
			assert.Contains(t, strings.Join(strings.Fields(text), " "), strings.Fields(c.Name)[0])
		}
		// Rows as printed: to buy, packs of so many, cost, needed, at hand.
		rows := regexp.MustCompile(`\s(\d+)\s+(\d+) packs? of \d+\s+€(\d+\.\d\d)\s+(\d+)\s+(\d+)\s`).FindAllStringSubmatch(text, -1)
		require.Len(t, rows, 12, text)
		total := regexp.MustCompile(`Total\s+(\d+)\s+(\d+)\s+€(\d+\.\d\d)\s+(\d+)\s+(\d+)\s`).FindStringSubmatch(text)
		require.NotNil(t, total, text)
		for column := 1; column <= 5; column++ {
			assert.Equal(t, cents(t, total[column]), sumOf(t, rows, column), "column %d on %s", column, name)
		}
	}
}

// Also with the longest names that a document may have, and something at hand of every kind.
func TestFullestShoppingListIsOnePage(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	f := twelveColours()
	var own []string
	for i := range f.Colours {
		f.Colours[i].Name = strings.Repeat("Nets of the old quay ", 4)[:figure.MaxName-3] + " " + strconv.Itoa(i)
		own = append(own, fmt.Sprintf(`%q:{"sides":"both","pack_sheets":25,"pack_price":"1234.56","stock_sheets":1,"stock_cut":11,"stock_folded":12,"stock_parts":"210x120"}`, f.Colours[i].ID))
	}
	base := app.KeepFigure(t, f)
	require.NoError(t, app.Store.SetSettings(context.Background(), strings.TrimPrefix(base, "/d/"), []byte(`{"spare":10,"currency":"CHF","colours":{`+strings.Join(own, ",")+`}}`)))
	maker.Open(base + "/list")
	maker.Sees("12 units folded already")
	maker.Sees("12 packs of 25 to buy for 12 sheets")
	for name, size := range papers {
		assert.Equal(t, 1, strings.Count(keepPrint(t, "print-list-fullest-"+name, maker.Print(size)), "\f"), "pages on %s", name)
	}
}

// sumOf adds a column of matches up, in hundredths so that money stays exact.
func sumOf(t *testing.T, rows [][]string, column int) (sum int) {
	t.Helper()
	for _, row := range rows {
		if row[column] != "" {
			sum += cents(t, row[column])
		}
	}
	return sum
}

func cents(t *testing.T, text string) int {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return int(math.Round(v * 100))
}

// What the report prints adds up: units, spares, sheets and masses by colour, minutes by stage.
func TestPrintedReportAddsUp(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	maker.Open(app.Keep(t, puffin) + "/report")
	for name, size := range papers {
		text := keepPrint(t, "print-report-"+name, maker.Print(size))
		assert.Contains(t, text, "Puffin on the quay")
		assert.NotContains(t, text, "Change")
		assert.NotContains(t, text, "Source")
		rows := regexp.MustCompile(`(?m)(\d+)\s+(\d+)\s+(\d+)\s+A4\s+32\s+(\d+)\s+(\d+\.\d)$`).FindAllStringSubmatch(text, -1)
		require.Len(t, rows, 5, text)
		total := regexp.MustCompile(`Total\s+(\d+)\s+(\d+)\s+(\d+)\s+(\d+)\s+(\d+\.\d)`).FindStringSubmatch(text)
		require.NotNil(t, total, text)
		for column := 1; column <= 5; column++ {
			assert.Equal(t, cents(t, total[column]), sumOf(t, rows, column), "column %d on %s", column, name)
		}
		stages := regexp.MustCompile(`(?m)^\s*(?:Cutting|Folding|Building|Finishing, with drying)\s+(\d+)\s+(\d+)\s+(\d+)$`).FindAllStringSubmatch(text, -1)
		require.Len(t, stages, 4, text)
		minutes := regexp.MustCompile(`Total\s+(\d+)\s+(\d+)\s+(\d+)\n`).FindStringSubmatch(text)
		require.NotNil(t, minutes, text)
		for column := 1; column <= 3; column++ {
			assert.Equal(t, cents(t, minutes[column]), sumOf(t, stages, column), "minutes %d on %s", column, name)
		}
		headingsKeepTheirText(t, text)
	}
}

// headings are the headings of the printed pages.
var headings = regexp.MustCompile(`^\s*(Plan \d+:.*|Left over|Paper by colour|Shopping|Time, stage by stage|Ring by ring|When the last ring is built|Ring \d+)\s*$`)

// headingsKeepTheirText fails the test when a page ends with a heading.
func headingsKeepTheirText(t *testing.T, text string) {
	t.Helper()
	number := regexp.MustCompile(`^\s*\d+ / \d+\s*$`)
	for i, page := range strings.Split(strings.TrimSuffix(text, "\f"), "\f") {
		last := ""
		for line := range strings.Lines(page) {
			if strings.TrimSpace(line) != "" && !number.MatchString(line) {
				last = strings.TrimRight(line, "\n")
			}
		}
		assert.NotRegexp(t, headings, last, "page %d ends with a heading", i+1)
	}
}

// The cutting plan of the puffin: whoever follows it gets at least the units the list asks for.
func TestPrintedCuttingPlanGivesTheUnits(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	base := app.Keep(t, puffin)
	maker.Open(base + "/report")
	need := e2e.Eval[string](maker, "document.querySelector('.number-fold .big').textContent")
	maker.Open(base + "/cut")
	for name, size := range papers {
		text := keepPrint(t, "print-cut-"+name, maker.Print(size))
		assert.Contains(t, text, "Cutting plan")
		assert.Contains(t, text, "Puffin on the quay")
		blade, first := strings.Index(text, "knife blades cut"), strings.Index(text, "Plan 1:")
		assert.True(t, 0 < blade && blade < first, "the caution stands before the first cut")
		headingsKeepTheirText(t, text)
		units := 0
		for _, m := range regexp.MustCompile(`Plan \d+: (?:the last )?(\d+)?\D*?of A4, (\d+) units?`).FindAllStringSubmatch(text, -1) {
			sheets, err := strconv.Atoi(m[1])
			if err != nil {
				sheets = 1 // "the last sheet"
			}
			each, err := strconv.Atoi(m[2])
			require.NoError(t, err)
			units += sheets * each
		}
		wanted, err := strconv.Atoi(need)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, units, wanted)
		assert.Less(t, units, wanted+5, "no more than the last row of each colour")
	}
}

// Many cuts to a sheet, two kinds of sheets and used stock make long plans: still no page ends with a heading.
func TestLongCuttingPlansKeepTheirHeadings(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	base := app.Keep(t, puffin)
	require.NoError(t, app.Store.SetSettings(context.Background(), strings.TrimPrefix(base, "/d/"), []byte(`{"sheet":"Letter","margin_mm":5,"kerf_mm":0.5,
		"inches":true,"colours":{"orange":{"sheet":"15 cm square"},"soot":{"stock_sheets":3,"stock_cut":40,"stock_parts":"210x120, 2 × 100x80","stock_folded":12}}}`)))
	maker.Open(base + "/cut")
	for name, size := range papers {
		text := keepPrint(t, "print-cut-long-"+name, maker.Print(size))
		assert.Contains(t, text, "Plan 7:")
		headingsKeepTheirText(t, text)
	}
}

func TestPrintedKitsAndBuildSheet(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	base := app.Keep(t, puffin)
	for name, size := range papers {
		maker.Open(base + "/kits")
		maker.Press("Kits for another number of people")
		maker.Fill("People", "9")
		maker.Press("Make the kits")
		maker.Sees("Kit 9 of 9")
		text := keepPrint(t, "print-kits-"+name, maker.Print(size))
		all := regexp.MustCompile(`(\d+) units for 9 people`).FindStringSubmatch(text)
		require.NotNil(t, all, text)
		kits := regexp.MustCompile(`Kit \d of 9\s+(\d+) units`).FindAllStringSubmatch(text, -1)
		require.Len(t, kits, 9)
		assert.Equal(t, cents(t, all[1]), sumOf(t, kits, 1))

		maker.Open(base + "/build")
		text = keepPrint(t, "print-build-"+name, maker.Print(size))
		assert.Contains(t, text, "Build sheet")
		assert.Contains(t, text, "Ring 23")
		assert.NotContains(t, text, "of 23 rings")
		headingsKeepTheirText(t, text)
	}
}
