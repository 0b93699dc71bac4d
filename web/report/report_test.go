package report_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
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
	"tuckring/web"
	"tuckring/web/common"
	"tuckring/web/webtest"
)

// The 68-unit figure (The Star, Malaysia, 14 March 2012) from single strips of 18.5 × 52 mm: by the
// contract 64 strips to a sheet of A4, so 2 sheets; ISO 536: 2 × 4.99 g.
func TestReportOfThePublishedFigure(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
	page := webtest.ReadPage(t, s, "/d/"+d.ID+"/report", 200)
	for _, want := range []string{
		webtest.Big("68"), "68 in rings, 0 in extras", webtest.Big("72"), "with 4 spares",
		webtest.Big("2"), "A4: 64 units from each", "10.0 g", "No price yet", "2 sheets to buy",
	} {
		assert.Contains(t, page, want)
	}
}

func TestSettingsAreKeptWithTheFigure(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	base := "/d/" + d.ID
	w := webtest.Ask(t, s, webtest.Post(base+"/report", url.Values{
		"sheet": {"a3"}, "people": {"9"}, "session_min": {"90"}, "inches": {"false", "true"}, "cut_before": {"false"},
		"colour.brick.pack_sheets": {"50"}, "colour.brick.pack_price": {"4.99"}, "colour.soot.stock_sheets": {"3"}, "colour.soot.sides": {"both"},
	}))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	assert.Equal(t, base+"/report?saved=1", w.Header().Get("Location"))
	settings := webtest.Saved(t, kept, d.ID)
	assert.Equal(t, "A3", settings.Sheet)
	assert.Equal(t, 9, settings.People)
	assert.True(t, settings.Inches, "a ticked box sends its own value after the one of an empty box")
	assert.False(t, settings.CutBefore)
	assert.Equal(t, "4.99", settings.Colours["brick"].PackPrice)
	assert.Equal(t, 5.0, settings.Spare, "what was not sent stays")

	page := webtest.ReadPage(t, s, w.Header().Get("Location"), 200)
	assert.Contains(t, page, "Saved with this figure")
	assert.Contains(t, page, "A3: 64 units from each") // ISO 216: an A3 is two A4, 32 each
	assert.Contains(t, page, "€4.99 and more", "no price is known for the other colours")
	assert.Contains(t, page, " in (", "inches are shown")
	assert.Contains(t, page, "with 9 people")
	assert.Contains(t, webtest.ReadPage(t, s, base+"/list", 200), "coloured on both sides")
	// 52 ÷ 25.4 and 37 ÷ 25.4
	for _, path := range []string{"/list", "/cut", "/kits"} {
		assert.Contains(t, webtest.ReadPage(t, s, base+path, 200), "52 × 37 mm (2.05 × 1.46 in)", path)
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
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	base := "/d/" + d.ID
	before := webtest.Saved(t, kept, d.ID)
	for _, tt := range tests {
		form := url.Values{"grammage": {"120"}, tt.field: {tt.typed}}
		if tt.field == "grammage" {
			form.Set("margin_mm", "7")
		}
		w := webtest.Ask(t, s, webtest.Post(base+"/report", form))
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
			assert.Contains(t, page, `value="`+webtest.Escaped(tt.typed)+`"`, tt.name+": what was typed stays")
		}
		assert.NotContains(t, page, "<script>alert", tt.name)
		assert.Equal(t, before, webtest.Saved(t, kept, d.ID), tt.name+": nothing was kept")
		assert.Contains(t, page, "A4: 32 units from each", tt.name+": the numbers stay those of the kept settings")
	}
}

// A figure whose unit grew over its sheet has no report; the page says what to change.
func TestReportWithSettingsThatNoLongerGoWithTheFigure(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	base := "/d/" + d.ID
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report", url.Values{"sheet": {"A8"}})).Code)
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report/unit", url.Values{"long": {"120"}, "short": {"80"}, "fold": {"doubled"}})).Code)
	page := webtest.ReadPage(t, s, base+"/report", 200)
	assert.Contains(t, page, "there are no numbers yet")
	assert.Contains(t, page, "does not fit on the sheet")
	for _, path := range []string{"/list", "/cut", "/kits", "/report.json", "/report.xlsx", "/report/colours.csv"} {
		assert.Contains(t, webtest.ReadPage(t, s, base+path, 422), "does not fit on the sheet", path)
	}
	assert.Contains(t, webtest.ReadPage(t, s, base+"/build", 200), "Ring 1", "building needs no sheet")
}

func TestSettingsOfALaterVersionAreNotLost(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	later := `{"sheet":"A3","laser":true}`
	require.NoError(t, kept.SetSettings(context.Background(), d.ID, json.RawMessage(later)))
	page := webtest.ReadPage(t, s, "/d/"+d.ID+"/report", 200)
	assert.Contains(t, page, "This version cannot read the settings")
	assert.Contains(t, page, "A4: 32 units from each")
	now, _, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.JSONEq(t, later, string(now.Settings), "looking changes nothing")

	form := url.Values{"people": {"3"}}
	refused := webtest.Ask(t, s, webtest.Post("/d/"+d.ID+"/report", form)) // as a page does that was open from before
	assert.Equal(t, http.StatusConflict, refused.Code)
	assert.Contains(t, webtest.PageText(refused), "Nothing was changed.")
	now, _, err = kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.JSONEq(t, later, string(now.Settings), "nobody said that they would be replaced")

	assert.Contains(t, page, `<input type="hidden" name="replace_unread" value="yes">`)
	form.Set("replace_unread", "yes")
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/d/"+d.ID+"/report", form)).Code)
	settings := webtest.Saved(t, kept, d.ID)
	assert.Equal(t, 3, settings.People)
	assert.Equal(t, "A4", settings.Sheet)
	assert.NotContains(t, webtest.ReadPage(t, s, "/d/"+d.ID+"/report", 200), "replace_unread")
}

// The trade's example: at 53 × 37 an A4 gives 29, at 52 × 37 it gives 32 (A9, ISO 216).
func TestNearbySizeIsTakenWithOnePressAndGivenBack(t *testing.T) {
	s, kept := webtest.Keeping(t)
	f, err := figure.Read(webtest.Lighthouse(t))
	require.NoError(t, err)
	f.Unit.LongMM = 53
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	base := "/d/" + d.ID
	page := webtest.ReadPage(t, s, base+"/report", 200)
	assert.Contains(t, page, "gives 29 units")
	assert.Contains(t, page, "gives 32 units")

	w := webtest.Ask(t, s, webtest.Post(base+"/report/unit", url.Values{"long": {"52"}, "short": {"37"}, "fold": {"doubled"}}))
	require.Equal(t, http.StatusSeeOther, w.Code)
	now, changed, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, 52.0, changed.Unit.LongMM)
	assert.Equal(t, int64(1), now.Rev, "a step in the log like any other")
	page = webtest.ReadPage(t, s, strings.Split(w.Header().Get("Location"), "#")[0], 200)
	assert.Contains(t, page, "The units are 52 × 37 mm now.")
	assert.Contains(t, page, "Back to 53 × 37 mm")

	for _, bad := range []url.Values{
		{"long": {"0"}, "short": {"37"}, "fold": {"doubled"}}, {"long": {"52"}, "short": {"37"}, "fold": {"thrice"}}, {},
		{"long": {"30"}, "short": {"37"}, "fold": {"doubled"}},
	} {
		w := webtest.Ask(t, s, webtest.Post(base+"/report/unit", bad))
		assert.GreaterOrEqual(t, w.Code, 400, bad)
		assert.Less(t, w.Code, 500, bad)
	}
	_, same, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, changed.Unit, same.Unit)
	assert.NotContains(t, webtest.ReadPage(t, s, base+"/report?unit=xyz", 200), "The units are ")
	assert.NotContains(t, webtest.ReadPage(t, s, base+"/report?unit=1ex2xdoubled", 200), "The units are ")
}

func TestLinkToLookShowsTheReportButChangesNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	base := "/v/" + link.Token
	page := webtest.ReadPage(t, s, base+"/report", 200)
	assert.NotContains(t, page, "<form")
	assert.Contains(t, page, "See all")
	for _, path := range []string{"/list", "/cut", "/kits", "/build", "/report.json", "/report.xlsx", "/report/rings.csv"} {
		assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get(base+path)).Code, path)
	}
	for path, form := range map[string]url.Values{
		"/report": {"people": {"2"}}, "/report/unit": {"long": {"50"}, "short": {"35"}, "fold": {"doubled"}},
	} {
		w := webtest.Ask(t, s, webtest.Post(base+path, form))
		assert.Equal(t, http.StatusForbidden, w.Code, path)
		assert.Contains(t, w.Body.String(), "This link is for viewing only")
	}
	now, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	assert.Zero(t, now.Rev)
	assert.Equal(t, 52.0, f.Unit.LongMM)
	assert.Equal(t, 1, webtest.Saved(t, kept, d.ID).People)

	edit, err := kept.MakeLink(context.Background(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	assert.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post("/e/"+edit.Token+"/report", url.Values{"people": {"4"}})).Code)
	assert.Equal(t, 4, webtest.Saved(t, kept, d.ID).People)
}

func TestFilesOfTheReport(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
	base := "/d/" + d.ID
	file := func(path, kind string) *httptest.ResponseRecorder {
		w := webtest.Ask(t, s, webtest.Get(base+path))
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
	assert.Equal(t, http.StatusNotFound, webtest.Ask(t, s, webtest.Get(base+"/report/secrets.csv")).Code)
}

// By hand: 68 units of the figure; of the first colour's units 10 are folded and 7 cut. The spares are 5 % of what is
// left of each colour, rounded up; the page, the list and the kits say the same number to fold, and it adds up.
func TestHeadlinesCountWhatIsLeftToDo(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
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
	w := webtest.Ask(t, s, webtest.Post(base+"/report", url.Values{first + ".stock_folded": {"10"}, first + ".stock_cut": {"7"}}))
	require.Equal(t, http.StatusSeeOther, w.Code)
	fold := strconv.Itoa(68 + spares - 10)
	page := webtest.ReadPage(t, s, base+"/report", 200)
	assert.Contains(t, page, webtest.Big(fold))
	assert.Contains(t, page, "with "+strconv.Itoa(spares)+" spares; 10 are folded already")
	assert.Contains(t, page, "after what you have; the whole figure takes")
	list := webtest.ReadPage(t, s, base+"/list", 200)
	assert.Contains(t, list, "68 units less 10 folded already, and "+strconv.Itoa(spares)+" spares (5 % of the rest): "+fold+" to fold. 7 of them are cut already.")
	assert.Contains(t, webtest.ReadPage(t, s, base+"/kits", 200), fold+" units for")
	assert.Contains(t, webtest.ReadPage(t, s, base+"/report/colours.csv", 200), "Units,Spare,Folded already,To fold,Cut already,")
	var made struct{ Paper struct{ Spare int } }
	require.NoError(t, json.Unmarshal([]byte(webtest.ReadPage(t, s, base+"/report.json", 200)), &made))
	assert.Equal(t, whole, made.Paper.Spare, "the contract's numbers are those of the whole figure")
}

func TestWhatThereIsNoneOfIsNotCounted(t *testing.T) {
	list := []findings.Finding{{Level: findings.Hint}}
	assert.Equal(t, "1 hint about the pattern.", common.CountFindings(list).String())
	assert.Equal(t, "1 warning about building.", common.CountFindings([]findings.Finding{{Level: findings.Warning}}).String())
	assert.Equal(t, "1 warning about building, 1 hint about the pattern.", common.CountFindings(append(list, findings.Finding{Level: findings.Warning})).String())
}

func BenchmarkReportPage(b *testing.B) {
	kept, err := store.Open(context.Background(), filepath.Join(b.TempDir(), "tuckring.db"))
	require.NoError(b, err)
	defer kept.Close()
	s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: webtest.Quiet()})
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
