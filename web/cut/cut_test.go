package cut_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/report"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

// 72 units from strips of 52 × 18.5: one sheet of A4 gives 64, and a piece of 105 × 100 ten (five rows of two).
func TestPartUsedSheetsAreCutOnTheCuttingPlan(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
	base := "/d/" + d.ID
	w := webtest.Ask(t, s, webtest.Post(base+"/report", url.Values{"colour.white.stock_parts": {"3 × 105x100"}}))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	assert.Contains(t, webtest.ReadPage(t, s, base+"/list", 200), "use 1 part-used sheet, 105 × 100 mm")
	page := webtest.ReadPage(t, s, base+"/cut", 200)
	assert.Contains(t, page, "1 part-used sheet of 105 × 100 mm, 10 units from it")
	assert.Contains(t, page, "the last sheet of A4, 62 units from it")
	assert.Equal(t, 2, strings.Count(page, `class="plan-picture"`))
}

// A part-used sheet of the unit's own size is a unit: no blade comes down, and none is warned of.
func TestUnitsLyingAboutAreNotCut(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
	base := "/d/" + d.ID
	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	form := url.Values{}
	for _, c := range report.Count(f).ByColour {
		form.Set("colour."+c.Colour+".stock_parts", "300 × "+kernel.Digits(f.Unit.LongMM)+"x"+kernel.Digits(f.Unit.ShortMM))
	}
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report", form)).Code)
	page := webtest.ReadPage(t, s, base+"/cut", 200)
	assert.Contains(t, page, "These are units already")
	for _, not := range []string{"Caution", "comes down", "stop settings", "Stack 1", "Plan 2"} {
		assert.NotContains(t, page, not)
	}
	assert.Contains(t, webtest.ReadPage(t, s, base+"/report/cutting.csv", 200), "These are units already")
}

func TestNothingLeftToCutOrBuy(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
	_, f, err := kept.Get(context.Background(), d.ID)
	require.NoError(t, err)
	base := "/d/" + d.ID
	form := url.Values{}
	for _, c := range f.Colours {
		form.Set("colour."+c.ID+".stock_folded", "500")
	}
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report", form)).Code)
	assert.Contains(t, webtest.ReadPage(t, s, base+"/list", 200), "you have everything")
	assert.Contains(t, webtest.ReadPage(t, s, base+"/cut", 200), "Nothing is left to cut")
	kits := webtest.ReadPage(t, s, base+"/kits?people=3", 200)
	assert.Contains(t, kits, "Nothing is left to fold")
	assert.NotContains(t, kits, "Kit 1")
	page := webtest.ReadPage(t, s, base+"/report", 200)
	assert.Contains(t, page, "you have everything")
	assert.Contains(t, page, "all 68 are folded already")
	assert.Contains(t, page, webtest.Big("0.0 g"))
	assert.Contains(t, webtest.ReadPage(t, s, base+"/list", 200), "68 units in the figure, all folded already.")
}
