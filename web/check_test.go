package web

import (
	"context"
	"encoding/json"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/wire"
)

// keepTube keeps a straight tube of 8 units a ring, which gets weak after 40 rings (from memory).
func keepTube(t *testing.T, kept *store.Store, rings int) store.Design {
	t.Helper()
	f := figure.Tube("Lighthouse tower", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 8, rings)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	return d
}

func TestFindingsCarryTheirPlaceStandingAndFix(t *testing.T) {
	s, kept := keeping(t)
	base := "/d/" + keepTube(t, kept, 42).ID
	type found struct {
		Rev      int64
		Findings []struct {
			Level, Rule, What, Standing string
			Edit                        json.RawMessage
		}
	}
	got := told[found](t, ask(t, s, by('m', get(base+"/findings"))), 200)
	require.Len(t, got.Findings, 1)
	f := got.Findings[0]
	assert.Equal(t, []string{"warning", "straight", "memory"}, []string{f.Level, f.Rule, f.Standing})
	assert.Contains(t, f.What, "42 rings")
	edit(t, s, base, 'm', 1, string(f.Edit))
	after := told[found](t, ask(t, s, by('m', get(base+"/findings"))), 200)
	assert.Empty(t, after.Findings, "the fix settles it")
	assert.EqualValues(t, 1, after.Rev)
}

func TestTryTellsWhatWouldChangeAndChangesNothing(t *testing.T) {
	s, kept := keeping(t)
	base := "/d/" + keepTube(t, kept, 3).ID
	try := func(edit string) wire.Trial {
		return told[wire.Trial](t, ask(t, s, by('m', sending(base+"/try", `{"edit":`+edit+`}`))), 200)
	}
	got := try(`{"do":"set_count","rings":[2],"units":12}`)
	require.NotNil(t, got.Change)
	require.Len(t, got.Change.Rings, 2, "the ring and the one that stands on it")
	assert.Equal(t, 12, len(got.Change.Rings[0].Cells))
	ones := 0
	for _, c := range got.Change.Rings[0].Takes {
		if c == '1' {
			ones++
		}
	}
	assert.Equal(t, 8, ones, "12 units over 16 points: eight take one, four take two")
	assert.Equal(t, 28, got.Totals.Units)

	refused := try(`{"do":"set_count","rings":[2],"units":3}`)
	assert.Nil(t, refused.Change)
	assert.Contains(t, refused.Refused.What, "cannot take the points of ring 1")
	assert.Contains(t, refused.Refused.Fix, "from 4 to 16 units fit")
	assert.Contains(t, try(`{"do":"dance"}`).Refused.What, `no edit "dance"`)
	w := ask(t, s, by('m', sending(base+"/try", `{"edit":{"do":"undo"}}`)))
	assert.Contains(t, told[refusal](t, w, 400).What, "cannot be tried beforehand")
	assert.EqualValues(t, 0, state(t, s, base, 'm').Rev)
	assert.Len(t, state(t, s, base, 'm').Rings[1].Cells, 8)
}

func TestCheckPagePutsRightAndTakesBackWithoutScripts(t *testing.T) {
	s, kept := keeping(t)
	d := keepTube(t, kept, 42)
	base := "/d/" + d.ID
	page := ask(t, s, by('m', get(base+"/check")))
	assert.Contains(t, page.Body.String(), "1 warning about building.")
	assert.Contains(t, page.Body.String(), base+"#at-1-4", "the front unit of ring 1")
	fix := url.Values{"finding": {"straight rings[0] 0"}}
	w := ask(t, s, by('m', post(base+"/check", fix)))
	require.Equal(t, 303, w.Code)
	page = ask(t, s, by('m', get(w.Header().Get("Location"))))
	assert.Contains(t, page.Body.String(), "Nothing found")
	assert.Contains(t, page.Body.String(), "Undo")
	w = ask(t, s, by('m', post(base+"/check", fix)))
	assert.Equal(t, 409, w.Code)
	assert.Contains(t, w.Body.String(), "not found any more")
	w = ask(t, s, by('m', post(base+"/check/undo", nil)))
	require.Equal(t, 303, w.Code)
	assert.Contains(t, ask(t, s, by('m', get(base+"/check"))).Body.String(), "42 rings")
}

func TestViewersSeeTheCheckButFixNothing(t *testing.T) {
	s, kept := keeping(t)
	d := keepTube(t, kept, 42)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	base := "/v/" + link.Token
	page := ask(t, s, by('v', get(base+"/check"))).Body.String()
	assert.Contains(t, page, "42 rings")
	assert.NotContains(t, page, "Fix")
	assert.NotContains(t, page, "Show")
	assert.Equal(t, 403, ask(t, s, by('v', post(base+"/check", url.Values{}))).Code)
	assert.Equal(t, 403, ask(t, s, by('v', sending(base+"/try", `{"edit":{}}`))).Code)
}

// Lengths are estimates: the editor is told them to a tenth of a mm, as the report is written.
func TestFindingsCarryNoNoise(t *testing.T) {
	s, kept := keeping(t)
	d := keepFile(t, kept, "../testdata/shelf/lighthouse.tuckring.json")
	body := ask(t, s, get("/d/"+d.ID+"/findings")).Body.String()
	assert.Contains(t, body, "top_mm")
	assert.Empty(t, regexp.MustCompile(`[0-9]\.[0-9]{2,}`).FindAllString(body, 3))
}
