package web

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/report"
	"tuckring/internal/shelf"
	"tuckring/internal/store"
)

// read asks for a page and gives its text, white space as single spaces.
func read(t *testing.T, s *Server, path string, status int) string {
	t.Helper()
	w := ask(t, s, get(path))
	require.Equal(t, status, w.Code, "%s: %s", path, w.Body.String())
	return strings.Join(strings.Fields(w.Body.String()), " ")
}

func keepFile(t *testing.T, kept *store.Store, name string) store.Design {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	return d
}

const sixtyEight = "../internal/figure/testdata/sixty-eight.tuckring.json"

// big is a number of the report's head as the page writes it.
func big(value string) string {
	return `<span class="big"><span class="together">` + value + `</span></span>`
}

// The 68-unit figure (The Star, Malaysia, 14 March 2012) from single strips of 18.5 × 52 mm: by the
// contract 64 strips to a sheet of A4, so 2 sheets; ISO 536: 2 × 4.99 g.
func TestReportOfThePublishedFigure(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	page := read(t, s, "/d/"+d.ID+"/report", 200)
	for _, want := range []string{
		big("68"), "68 in rings, 0 in extras", big("72"), "with 4 spares",
		big("2"), "A4: 64 units from each", "10.0 g", "No price yet", "2 sheets to buy",
	} {
		assert.Contains(t, page, want)
	}
}

func saved(t *testing.T, kept *store.Store, id string) report.Settings {
	t.Helper()
	d, _, err := kept.Get(context.Background(), id)
	require.NoError(t, err)
	settings, err := report.ReadSettings(d.Settings)
	require.NoError(t, err)
	return settings
}

func TestSettingsAreKeptWithTheFigure(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	base := "/d/" + d.ID
	w := ask(t, s, post(base+"/report", url.Values{
		"sheet": {"a3"}, "people": {"9"}, "session_min": {"90"}, "inches": {"false", "true"}, "cut_before": {"false"},
		"colour.brick.pack_sheets": {"50"}, "colour.brick.pack_price": {"4.99"}, "colour.soot.stock_sheets": {"3"}, "colour.soot.sides": {"both"},
	}))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	assert.Equal(t, base+"/report?saved=1", w.Header().Get("Location"))
	settings := saved(t, kept, d.ID)
	assert.Equal(t, "A3", settings.Sheet)
	assert.Equal(t, 9, settings.People)
	assert.True(t, settings.Inches, "a ticked box sends its own value after the one of an empty box")
	assert.False(t, settings.CutBefore)
	assert.Equal(t, "4.99", settings.Colours["brick"].PackPrice)
	assert.Equal(t, 5.0, settings.Spare, "what was not sent stays")

	page := read(t, s, w.Header().Get("Location"), 200)
	assert.Contains(t, page, "Saved with this figure")
	assert.Contains(t, page, "A3: 64 units from each") // ISO 216: an A3 is two A4, 32 each
	assert.Contains(t, page, "€4.99 and more", "no price is known for the other colours")
	assert.Contains(t, page, " in (", "inches are shown")
	assert.Contains(t, page, "with 9 people")
	assert.Contains(t, read(t, s, base+"/list", 200), "coloured on both sides")
	// 52 ÷ 25.4 and 37 ÷ 25.4
	for _, path := range []string{"/list", "/cut", "/kits"} {
		assert.Contains(t, read(t, s, base+path, 200), "52 × 37 mm (2.05 × 1.46 in)", path)
	}
}

func TestRefusedSettingsStandBesideTheirFields(t *testing.T) {
	tests := []struct{ name, field, typed, says string }{
		{"a unit larger than the sheet", "sheet", "40x40", "does not fit on the sheet"},
		{"a sheet nobody knows", "sheet", "A99", "There is no sheet called &#34;A99&#34;."},
		{"negative stock", "colour.brick.stock_sheets", "-2", "whole number"},
		{"negative cut units", "colour.brick.stock_cut", "-1", "whole number"},
		{"a margin that eats the sheet", "margin_mm", "110", "less than 105"},
		{"zero people", "people", "0", "1 to 200"},
		{"a crowd", "people", "100000", "1 to 200"},
		{"half a person", "people", "2.5", "whole number"},
		{"a price with a comma", "colour.brick.pack_price", "4,99", "4.99"},
		{"a price below nothing", "colour.brick.pack_price", "-4.99", "without a sign"},
		{"a price with a symbol", "colour.brick.pack_price", "€4.99", "without a sign or a currency symbol"},
		{"a currency nobody has", "currency", "XQZ", "EUR, GBP or USD"},
		{"paper like lead", "grammage", "9000", "10 to 1000"},
		{"more spares than units", "spare", "101", "0 to 100"},
		{"a thousand with a comma", "spare", "1,5", "1.5"},
		{"an unreadable part-used sheet", "colour.soot.stock_parts", "some", "210x120"},
		{"a pace nobody has", "pace", "hasty", "beginner"},
		{"a stopwatch without times", "pace", "stopwatch", "Time each of 3 units or more"},
		{"a stopwatch of one second", "stopwatch", "1 1 1", "between 3 and 1800 seconds"},
		{"a session of a minute", "session_min", "1", "20"},
		{"a swatch with one measure", "swatch_units", "12", "Build a small tube"},
		{"an own time out of reach", "time.stroke", "99999", "number"},
		{"an offer with a hole", "offers", "Copy paper; A4; 100", "Line 1"},
		{"not a number", "margin_mm", "NaN", "number"},
		{"markup", "sheet", `"><script>alert(1)</script>`, "There is no sheet called"},
	}
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	base := "/d/" + d.ID
	before := saved(t, kept, d.ID)
	for _, tt := range tests {
		form := url.Values{"grammage": {"120"}, tt.field: {tt.typed}}
		if tt.field == "grammage" {
			form.Set("margin_mm", "7")
		}
		w := ask(t, s, post(base+"/report", form))
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, tt.name)
		page := strings.Join(strings.Fields(w.Body.String()), " ")
		assert.Contains(t, page, tt.says, tt.name)
		assert.Contains(t, page, "Nothing was changed.", tt.name)
		assert.Contains(t, page, `<details open>`, tt.name)
		if tt.field != "swatch_units" { // what is missing is named, not what is there
			where := tt.field
			if tt.typed == "stopwatch" {
				where = "stopwatch"
			}
			assert.Contains(t, page, `id="`+where+`-wrong"`, tt.name)
		}
		if tt.field != "pace" && tt.field != "offers" {
			assert.Contains(t, page, `value="`+escaped(tt.typed)+`"`, tt.name+": what was typed stays")
		}
		assert.NotContains(t, page, "<script>alert", tt.name)
		assert.Equal(t, before, saved(t, kept, d.ID), tt.name+": nothing was kept")
		assert.Contains(t, page, "A4: 32 units from each", tt.name+": the numbers stay those of the kept settings")
	}
}

func escaped(s string) string {
	return strings.NewReplacer("&", "&amp;", `"`, "&#34;", "<", "&lt;", ">", "&gt;").Replace(s)
}

// A figure whose unit grew over its sheet has no report; the page says what to change.
func TestReportWithSettingsThatNoLongerGoWithTheFigure(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	base := "/d/" + d.ID
	require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report", url.Values{"sheet": {"A8"}})).Code)
	require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report/unit", url.Values{"long": {"120"}, "short": {"80"}, "fold": {"doubled"}})).Code)
	page := read(t, s, base+"/report", 200)
	assert.Contains(t, page, "there are no numbers yet")
	assert.Contains(t, page, "does not fit on the sheet")
	for _, path := range []string{"/list", "/cut", "/kits", "/report.json", "/report.xlsx", "/report/colours.csv"} {
		assert.Contains(t, read(t, s, base+path, 422), "does not fit on the sheet", path)
	}
	assert.Contains(t, read(t, s, base+"/build", 200), "Ring 1", "building needs no sheet")
}

func TestSettingsOfALaterVersionAreNotLost(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	later := `{"sheet":"A3","laser":true}`
	require.NoError(t, kept.SetSettings(context.Background(), d.ID, json.RawMessage(later)))
	page := read(t, s, "/d/"+d.ID+"/report", 200)
	assert.Contains(t, page, "This version cannot read the settings")
	assert.Contains(t, page, "A4: 32 units from each")
	now, _, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.JSONEq(t, later, string(now.Settings), "looking changes nothing")
}

// The trade's example: at 53 × 37 an A4 gives 29, at 52 × 37 it gives 32 (A9, ISO 216).
func TestNearbySizeIsTakenWithOnePressAndGivenBack(t *testing.T) {
	s, kept := keeping(t)
	f, err := figure.Read(lighthouse(t))
	require.NoError(t, err)
	f.Unit.LongMM = 53
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	base := "/d/" + d.ID
	page := read(t, s, base+"/report", 200)
	assert.Contains(t, page, "gives 29 units")
	assert.Contains(t, page, "gives 32 units")

	w := ask(t, s, post(base+"/report/unit", url.Values{"long": {"52"}, "short": {"37"}, "fold": {"doubled"}}))
	require.Equal(t, http.StatusSeeOther, w.Code)
	now, changed, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, 52.0, changed.Unit.LongMM)
	assert.Equal(t, int64(1), now.Rev, "a step in the log like any other")
	page = read(t, s, strings.Split(w.Header().Get("Location"), "#")[0], 200)
	assert.Contains(t, page, "The units are 52 × 37 mm now.")
	assert.Contains(t, page, "Back to 53 × 37 mm")

	for _, bad := range []url.Values{
		{"long": {"0"}, "short": {"37"}, "fold": {"doubled"}}, {"long": {"52"}, "short": {"37"}, "fold": {"thrice"}}, {},
		{"long": {"30"}, "short": {"37"}, "fold": {"doubled"}},
	} {
		w := ask(t, s, post(base+"/report/unit", bad))
		assert.GreaterOrEqual(t, w.Code, 400, bad)
		assert.Less(t, w.Code, 500, bad)
	}
	_, same, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, changed.Unit, same.Unit)
	assert.NotContains(t, read(t, s, base+"/report?unit=xyz", 200), "The units are ")
	assert.NotContains(t, read(t, s, base+"/report?unit=1ex2xdoubled", 200), "The units are ")
}

func TestLinkToLookShowsTheReportButChangesNothing(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	base := "/v/" + link.Token
	page := read(t, s, base+"/report", 200)
	assert.NotContains(t, page, "<form")
	assert.Contains(t, page, "See all")
	for _, path := range []string{"/list", "/cut", "/kits", "/build", "/report.json", "/report.xlsx", "/report/rings.csv"} {
		assert.Equal(t, 200, ask(t, s, get(base+path)).Code, path)
	}
	for path, form := range map[string]url.Values{
		"/report": {"people": {"2"}}, "/report/unit": {"long": {"50"}, "short": {"35"}, "fold": {"doubled"}},
	} {
		w := ask(t, s, post(base+path, form))
		assert.Equal(t, http.StatusForbidden, w.Code, path)
		assert.Contains(t, w.Body.String(), "This link is for viewing only")
	}
	now, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Zero(t, now.Rev)
	assert.Equal(t, 52.0, f.Unit.LongMM)
	assert.Equal(t, 1, saved(t, kept, d.ID).People)

	edit, err := kept.MakeLink(context.Background(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	assert.Equal(t, http.StatusSeeOther, ask(t, s, post("/e/"+edit.Token+"/report", url.Values{"people": {"4"}})).Code)
	assert.Equal(t, 4, saved(t, kept, d.ID).People)
}

func TestFilesOfTheReport(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	base := "/d/" + d.ID
	file := func(path, kind string) *httptest.ResponseRecorder {
		w := ask(t, s, get(base+path))
		require.Equal(t, 200, w.Code, path)
		assert.Equal(t, kind, w.Header().Get("Content-Type"), path)
		assert.Contains(t, w.Header().Get("Content-Disposition"), "attachment", path)
		return w
	}
	// The contract's report --json, with the design's own settings.
	var got struct {
		Units struct{ Total int }
		Paper struct {
			PerSheet int `json:"per_sheet"`
			Sheets   int
		}
	}
	require.NoError(t, json.Unmarshal(file("/report.json", "application/json").Body.Bytes(), &got))
	assert.Equal(t, 68, got.Units.Total)
	assert.Equal(t, 64, got.Paper.PerSheet)
	assert.Equal(t, 2, got.Paper.Sheets)

	book, err := excelize.OpenReader(bytes.NewReader(file("/report.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet").Body.Bytes()))
	require.NoError(t, err)
	assert.Contains(t, book.GetSheetList(), "Shopping")

	for _, table := range []string{"colours", "shopping", "cutting", "offcuts", "kits", "time", "rings"} {
		body := file("/report/"+table+".csv", "text/csv; charset=utf-8; header=present").Body.String()
		assert.Contains(t, body, "\r\n", "RFC 4180: lines end with CRLF")
		rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
		require.NoError(t, err, table)
		assert.Greater(t, len(rows), 1, table)
	}
	assert.Equal(t, http.StatusNotFound, ask(t, s, get(base+"/report/secrets.csv")).Code)
}

// 400 units among 20 people are 20 each (published class example, origami-resource-center.com).
func TestKitsOfAClass(t *testing.T) {
	s, kept := keeping(t)
	f := figure.Tube("Class swan", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "White", Hex: "#ffffff"}}, 20, 20)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	base := "/d/" + d.ID
	require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report", url.Values{"spare": {"0"}})).Code)
	page := read(t, s, base+"/kits?people=20", 200)
	assert.Equal(t, 20, strings.Count(page, `<span class="label-units">20 units</span>`))
	assert.Equal(t, 1, saved(t, kept, d.ID).People, "the number is for the print only")
	for _, bad := range []string{"0", "-1", "201", "nine", "2.5", "", "1e2"} {
		page := read(t, s, base+"/kits?people="+url.QueryEscape(bad), 422)
		assert.Contains(t, page, `id="people-wrong"`, bad)
		assert.Contains(t, page, "1 to 200", bad)
		assert.Contains(t, page, "Kit 1 of 1", bad)
	}
}

func TestBuildSheetCarriesCautionsWhereTheStepIs(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	page := read(t, s, "/d/"+d.ID+"/build", 200)
	blade, first := strings.Index(page, "knife blades cut"), strings.Index(page, ">Ring 1<")
	glued, hot, next := strings.Index(page, "Glue on lamp"), strings.Index(page, "Hot glue"), strings.Index(page, ">Ring 4<")
	assert.True(t, 0 < blade && blade < first, "before anything is cut")
	assert.True(t, first < glued && glued < hot && hot < next, "at the ring that the lamp is glued to")
	assert.Contains(t, page, "leave 2 points free")
}

// 72 units from strips of 52 × 18.5: one sheet of A4 gives 64, and a piece of 105 × 100 ten (five rows of two).
func TestPartUsedSheetsAreCutOnTheCuttingPlan(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	base := "/d/" + d.ID
	w := ask(t, s, post(base+"/report", url.Values{"colour.white.stock_parts": {"3 × 105x100"}}))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	assert.Contains(t, read(t, s, base+"/list", 200), "use 1 part-used sheet, 105 × 100 mm")
	page := read(t, s, base+"/cut", 200)
	assert.Contains(t, page, "1 part-used sheet of 105 × 100 mm, 10 units from it")
	assert.Contains(t, page, "the last sheet of A4, 62 units from it")
	assert.Equal(t, 2, strings.Count(page, `class="plan-picture"`))
}

// By hand: 68 units of the figure; of the first colour's units 10 are folded and 7 cut. The spares are 5 % of what is
// left of each colour, rounded up; the page, the list and the kits say the same number to fold, and it adds up.
func TestHeadlinesCountWhatIsLeftToDo(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	base := "/d/" + d.ID
	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	spares, whole := 0, 0
	for i, c := range report.Count(f).ByColour {
		left := c.Units
		whole += (c.Units + 19) / 20
		if i == 0 {
			left -= 10
		}
		spares += (left + 19) / 20 // 5 %, rounded up
	}
	first := "colour." + f.Colours[0].ID
	w := ask(t, s, post(base+"/report", url.Values{first + ".stock_folded": {"10"}, first + ".stock_cut": {"7"}}))
	require.Equal(t, http.StatusSeeOther, w.Code)
	fold := strconv.Itoa(68 + spares - 10)
	page := read(t, s, base+"/report", 200)
	assert.Contains(t, page, big(fold))
	assert.Contains(t, page, "with "+strconv.Itoa(spares)+" spares; 10 are folded already")
	assert.Contains(t, page, "after what you have; the whole figure takes")
	list := read(t, s, base+"/list", 200)
	assert.Contains(t, list, "68 units less 10 folded already, and "+strconv.Itoa(spares)+" spares (5 % of the rest): "+fold+" to fold. 7 of them are cut already.")
	assert.Contains(t, read(t, s, base+"/kits", 200), fold+" units for")
	assert.Contains(t, read(t, s, base+"/report/colours.csv", 200), "Units,Spare,Folded already,To fold,Cut already,")
	var made struct{ Paper struct{ Spare int } }
	require.NoError(t, json.Unmarshal([]byte(read(t, s, base+"/report.json", 200)), &made))
	assert.Equal(t, whole, made.Paper.Spare, "the contract's numbers are those of the whole figure")
}

// A part-used sheet of the unit's own size is a unit: no blade comes down, and none is warned of.
func TestUnitsLyingAboutAreNotCut(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	base := "/d/" + d.ID
	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	form := url.Values{}
	for _, c := range report.Count(f).ByColour {
		form.Set("colour."+c.Colour+".stock_parts", "300 × "+short(f.Unit.LongMM)+"x"+short(f.Unit.ShortMM))
	}
	require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report", form)).Code)
	page := read(t, s, base+"/cut", 200)
	assert.Contains(t, page, "These are units already")
	for _, not := range []string{"Caution", "comes down", "stop settings", "Stack 1", "Plan 2"} {
		assert.NotContains(t, page, not)
	}
	assert.Contains(t, read(t, s, base+"/report/cutting.csv", 200), "These are units already")
}

func TestNothingLeftToCutOrBuy(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	base := "/d/" + d.ID
	form := url.Values{}
	for _, c := range f.Colours {
		form.Set("colour."+c.ID+".stock_folded", "500")
	}
	require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report", form)).Code)
	assert.Contains(t, read(t, s, base+"/list", 200), "you have everything")
	assert.Contains(t, read(t, s, base+"/cut", 200), "Nothing is left to cut")
	kits := read(t, s, base+"/kits?people=3", 200)
	assert.Contains(t, kits, "Nothing is left to fold")
	assert.NotContains(t, kits, "Kit 1")
	page := read(t, s, base+"/report", 200)
	assert.Contains(t, page, "you have everything")
	assert.Contains(t, page, "all 68 are folded already")
	assert.Contains(t, page, big("0.0 g"))
	assert.Contains(t, read(t, s, base+"/list", 200), "68 units in the figure, all folded already.")
}

// Two units are left to fold: two people get one each, and nobody gets an empty label.
func TestNoLabelForAnEmptyKit(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, sixtyEight)
	base := "/d/" + d.ID
	form := url.Values{"spare": {"0"}, "colour.white.stock_folded": {"1000"}}
	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	for i, c := range report.Count(f).ByColour {
		left := 0
		if i == 0 {
			left = 2
		}
		form.Set("colour."+c.Colour+".stock_folded", strconv.Itoa(c.Units-left))
	}
	require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report", form)).Code)
	page := read(t, s, base+"/kits?people=3", 200)
	assert.Contains(t, page, "Kit 2 of 2")
	assert.NotContains(t, page, "0 units")
}

// By hand: 1 pack of 10 for brick, and chalk's and soot's sheets one by one; packs of different sizes are only counted.
func TestPacksAndSingleSheetsAreCountedApart(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, "../internal/report/testdata/contract-example.tuckring.json")
	base := "/d/" + d.ID
	save := func(form url.Values) string {
		require.Equal(t, http.StatusSeeOther, ask(t, s, post(base+"/report", form)).Code)
		return read(t, s, base+"/list", 200)
	}
	assert.Contains(t, save(url.Values{"colour.brick.pack_sheets": {"10"}}), "1 pack of 10 and 2 single sheets to buy")
	assert.Contains(t, save(url.Values{"colour.chalk.pack_sheets": {"5"}}), "2 packs and 1 single sheet to buy")
	assert.Contains(t, save(url.Values{"colour.soot.pack_sheets": {"5"}}), "3 packs to buy for 4 sheets")
	assert.Contains(t, save(url.Values{"colour.brick.pack_sheets": {"5"}}), "3 packs of 5 to buy for 4 sheets")
}

func TestWhatThereIsNoneOfIsNotCounted(t *testing.T) {
	list := []findings.Finding{{Level: findings.Hint}}
	assert.Equal(t, "1 hint about the pattern.", countsOf(list).String())
	assert.Equal(t, "1 warning about building.", countsOf([]findings.Finding{{Level: findings.Warning}}).String())
	assert.Equal(t, "1 warning about building, 1 hint about the pattern.", countsOf(append(list, findings.Finding{Level: findings.Warning})).String())
}

func BenchmarkReportPage(b *testing.B) {
	kept, err := store.Open(context.Background(), filepath.Join(b.TempDir(), "tuckring.db"))
	require.NoError(b, err)
	defer kept.Close()
	s := New(Config{Store: kept, Listen: "127.0.0.1:8080", Log: quiet()})
	d, err := kept.Create(context.Background(), shelf.Demo()[0].Figure)
	require.NoError(b, err)
	for b.Loop() {
		r := httptest.NewRequest("GET", "/d/"+d.ID+"/report", nil)
		r.RemoteAddr, r.Host = "127.0.0.1:40000", "localhost:8080"
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
}

// With one glued piece of a kind the list, and what was printed of it, named a sentence's key instead of the
// piece. Every page of every demo figure says whole sentences; TestMain looks at what could not be said.
func TestEveryPageOfTheDemoFiguresSaysWholeSentences(t *testing.T) {
	s, kept := keeping(t)
	key := regexp.MustCompile(`\[[a-z_]+(\.[a-z_]+)+\]|no value|a sentence is missing|…›`)
	for _, demo := range shelf.Demo() {
		d, err := kept.Create(context.Background(), demo.Figure)
		require.NoError(t, err)
		for _, path := range []string{"", "/report", "/list", "/cut", "/kits?people=7", "/build", "/size", "/check", "/share", "/stand"} {
			page := read(t, s, "/d/"+d.ID+path, 200)
			_, catalogue, _ := strings.Cut(page, `<script id="words"`)
			assert.NotRegexp(t, key, strings.Replace(page, catalogue, "", 1), demo.Name+path)
		}
		if demo.Name == "lighthouse" {
			assert.Contains(t, read(t, s, "/d/"+d.ID+"/list", 200), "1 × disc of 16 mm")
		}
	}
}
