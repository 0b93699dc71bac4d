package pattern_test

import (
	"encoding/json"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web/webtest"
)

func TestFindingsCarryTheirPlaceStandingAndFix(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepTube(t, kept, 42).ID
	type found struct {
		Rev      int64
		Findings []struct {
			Level, Rule, What, Standing string
			Edit                        json.RawMessage
		}
	}
	got := webtest.Answer[found](t, webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/findings"))), 200)
	require.Len(t, got.Findings, 1)
	f := got.Findings[0]
	assert.Equal(t, []string{"warning", "straight", "memory"}, []string{f.Level, f.Rule, f.Standing})
	assert.Contains(t, f.What, "42 rings")
	webtest.Edit(t, s, base, 'm', 1, string(f.Edit))
	after := webtest.Answer[found](t, webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/findings"))), 200)
	assert.Empty(t, after.Findings, "the fix settles it")
	assert.EqualValues(t, 1, after.Rev)
}

// Lengths are estimates: the editor is told them to a tenth of a mm, as the report is written.
func TestFindingsCarryNoNoise(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepFile(t, kept, "testdata/shelf/lighthouse.tuckring.json")
	body := webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/findings")).Body.String()
	assert.Contains(t, body, "top_mm")
	assert.Empty(t, regexp.MustCompile(`[0-9]\.[0-9]{2,}`).FindAllString(body, 3))
}
