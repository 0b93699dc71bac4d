package kernel_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/webtest"
)

// A hundred changes of counts on a figure of 100 000 units took minutes and gigabytes, whoever asked.
func TestALookAheadDoesNoMoreThanAStepMay(t *testing.T) {
	s, kept := webtest.Keeping(t)
	f := figure.Tube("Pier", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 500, 100)
	d, err := kept.Create(t.Context(), f)
	require.NoError(t, err)
	edit := `{"do":"set_count","rings":[100],"units":499}`
	w := webtest.Ask(t, s, webtest.By('m', webtest.Sending("/d/"+d.ID+"/try", `{"edit":{"do":"batch","edits":[`+strings.Repeat(edit+",", 19)+edit+`]}}`)))
	got := webtest.Answer[wire.Trial](t, w, 200)
	require.NotNil(t, got.Refused)
	assert.Contains(t, got.Refused.What, "too many changes of a figure this large")
	assert.Contains(t, got.Refused.Fix, "several steps")
}

func TestALinkThatLooksAheadWithoutEndIsHeldUp(t *testing.T) {
	s, kept := webtest.Keeping(t)
	s.App.LimitWork(1, 20_000)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	try := func(base string) (int, string) {
		w := webtest.Ask(t, s, webtest.By('g', webtest.Sending(base+"/try", `{"edit":{"do":"set_front","front":2}}`)))
		return w.Code, w.Header().Get("Retry-After")
	}
	code, wait, asked := 200, "", 0
	for code == 200 {
		asked++
		require.Less(t, asked, 100, "it is held up")
		code, wait = try("/e/" + link.Token)
	}
	assert.Equal(t, 429, code) // RFC 6585, 4
	assert.NotEmpty(t, wait)
	assert.Greater(t, asked, 10)
	code, _ = try("/d/" + d.ID)
	assert.Equal(t, 200, code, "the maker goes on")
}

func TestALookAheadWaitsForItsTurn(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepTube(t, kept, 3).ID
	free := s.App.Occupy()
	ask := webtest.By('m', webtest.Sending(base+"/try", fmt.Sprintf(`{"edit":{"do":"set_count","rings":[2],"units":%d}}`, 12)))
	waiting, stop := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer stop()
	assert.Equal(t, 503, webtest.Ask(t, s, ask.WithContext(waiting)).Code)
	free()
}
