package size_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/webtest"
)

func TestAGuestDoesNotSeeTheMakersTubes(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	c, err := kept.AddCalibration(t.Context(), store.Calibration{Name: "My kitchen table", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, Units: 12, Rings: 6, DiameterMM: 60, HeightMM: 60, RoundingMM: 1})
	require.NoError(t, err)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	assert.Contains(t, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/size")).Body.String(), "My kitchen table")
	assert.NotContains(t, webtest.Ask(t, s, webtest.Get("/e/"+link.Token+"/size")).Body.String(), "My kitchen table")
	used := webtest.Ask(t, s, webtest.Post("/e/"+link.Token+"/size/use", map[string][]string{"calibration": {fmt.Sprint(c.ID)}}))
	assert.Equal(t, 403, used.Code)
}
