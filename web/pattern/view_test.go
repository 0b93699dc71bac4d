package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/store"
	"tuckring/web/webtest"
)

// The puffin has nine extras: two feet, two wings, a beak, and eyes of two pieces each (its document).
func TestAGuestReadsWhatTheNumbersOnThePatternMean(t *testing.T) {
	s, kept := webtest.Keeping(t)
	var puffin *figure.Figure
	for _, demo := range shelf.Demo() {
		if demo.Name == "puffin" {
			puffin = demo.Figure
		}
	}
	puffin.Colours = append(puffin.Colours, figure.Colour{ID: "moss", Name: "Moss", Hex: "#5b7a3a"})
	d, err := kept.Create(t.Context(), puffin)
	require.NoError(t, err)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	page := webtest.Ask(t, s, webtest.Get("/v/"+link.Token)).Body.String()
	for i, want := range []string{"left foot: 2 units tucked in, O Orange, ring 1", "right foot: 2 units tucked in, O Orange, ring 1", "left wing: 6 units tucked in, S Soot, ring 11",
		"right wing: 6 units tucked in, S Soot, ring 11", "beak: 2 units tucked in, O Orange, ring 17", "left eye rim: disc of 14 mm glued on, O Orange, ring 18", "left eye: disc of 8 mm glued on, S Soot, ring 18",
		"right eye rim: disc of 14 mm glued on, O Orange, ring 18", "right eye: disc of 8 mm glued on, S Soot, ring 18"} {
		assert.Contains(t, page, want, i+1)
	}
	assert.NotContains(t, page, "Moss", "no unit has it")
	assert.NotContains(t, webtest.Ask(t, s, webtest.Get("/v/"+link.Token+"/build")).Body.String(), "Moss")
	assert.Contains(t, webtest.Ask(t, s, webtest.By('m', webtest.Get("/d/"+d.ID+"/state"))).Body.String(), "Moss", "it waits in the palette")
}
