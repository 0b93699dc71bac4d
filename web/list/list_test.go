package list_test

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web/webtest"
)

// By hand: 1 pack of 10 for brick, and chalk's and soot's sheets one by one; packs of different sizes are only counted.
func TestPacksAndSingleSheetsAreCountedApart(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, "internal/report/testdata/contract-example.tuckring.json")
	base := "/d/" + d.ID
	save := func(form url.Values) string {
		require.Equal(t, http.StatusSeeOther, webtest.Ask(t, s, webtest.Post(base+"/report", form)).Code)
		return webtest.ReadPage(t, s, base+"/list", 200)
	}
	assert.Contains(t, save(url.Values{"colour.brick.pack_sheets": {"10"}}), "1 pack of 10 and 2 single sheets to buy")
	assert.Contains(t, save(url.Values{"colour.chalk.pack_sheets": {"5"}}), "2 packs and 1 single sheet to buy")
	assert.Contains(t, save(url.Values{"colour.soot.pack_sheets": {"5"}}), "3 packs to buy for 4 sheets")
	assert.Contains(t, save(url.Values{"colour.brick.pack_sheets": {"5"}}), "3 packs of 5 to buy for 4 sheets")
}
