package kits_test

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/web/webtest"
)

// 400 units among 20 people are 20 each (published class example, origami-resource-center.com).
func TestKitsOfAClass(t *testing.T) {
	s, kept := webtest.Keeping(t)
	f := figure.Tube("Class swan", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "White", Hex: "#ffffff"}}, 20, 20)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	base := "/d/" + d.ID
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report", url.Values{"spare": {"0"}})).Code)
	page := webtest.ReadPage(t, s, base+"/kits?people=20", 200)
	assert.Equal(t, 20, strings.Count(page, `<span class="label-units">20 units</span>`))
	assert.Equal(t, 1, webtest.Saved(t, kept, d.ID).People, "the number is for the print only")
	for _, bad := range []string{"0", "-1", "201", "nine", "2.5", "", "1e2"} {
		page := webtest.ReadPage(t, s, base+"/kits?people="+url.QueryEscape(bad), 422)
		assert.Contains(t, page, `id="people-wrong"`, bad)
		assert.Contains(t, page, "1 to 200", bad)
		assert.Contains(t, page, "Kit 1 of 1", bad)
	}
}

// Two units are left to fold: two people get one each, and nobody gets an empty label.
func TestNoLabelForAnEmptyKit(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, webtest.SixtyEight)
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
	require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report", form)).Code)
	page := webtest.ReadPage(t, s, base+"/kits?people=3", 200)
	assert.Contains(t, page, "Kit 2 of 2")
	assert.NotContains(t, page, "0 units")
}
