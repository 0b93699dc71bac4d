package web

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/store"
	"tuckring/internal/wire"
)

func TestASignThatWasChosenIsSeenEverywhere(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	base := "/d/" + d.ID
	got := edit(t, s, base, 'm', 1, `{"do":"edit_colour","id":"soot","name":"Soot","hex":"#2b2b2e","sign":"K"}`,
		`{"do":"edit_colour","id":"brick","name":"Brick red","hex":"#a63a2b","sign":"K"}`)
	assert.Equal(t, "sign", got.Results[1].Refused.Where)
	assert.Contains(t, got.Results[1].Refused.What, `"Brick red" and "Soot"`)

	colours := state(t, s, base, 'm').Colours
	assert.Equal(t, []wire.Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b", Sign: "B"},
		{ID: "chalk", Name: "Chalk", Hex: "#f4efe6", Sign: "C"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e", Sign: "K", Own: true}}, colours)
	assert.Contains(t, ask(t, s, get(base+"/build")).Body.String(), `<span class="sign">K</span>`)
	assert.Contains(t, ask(t, s, get(base+"/list")).Body.String(), `<span class="sign">K</span>`)
	assert.Contains(t, ask(t, s, get(base+"/pattern.svg")).Body.String(), ">KKK</text>")

	assert.Equal(t, 200, ask(t, s, by('m', sending(base+"/edits", `{"client":"`+testPage+`","name":"","steps":[{"seq":3,"edit":{"do":"undo"}}]}`))).Code)
	assert.Equal(t, "S", state(t, s, base, 'm').Colours[2].Sign, "undo brings the sign back that came by itself")
}

// The puffin has nine extras: two feet, two wings, a beak, and eyes of two pieces each (its document).
func TestAGuestReadsWhatTheNumbersOnThePatternMean(t *testing.T) {
	s, kept := keeping(t)
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
	page := ask(t, s, get("/v/"+link.Token)).Body.String()
	for i, want := range []string{"left foot: 2 units tucked in, O Orange, ring 1", "right foot: 2 units tucked in, O Orange, ring 1", "left wing: 6 units tucked in, S Soot, ring 11",
		"right wing: 6 units tucked in, S Soot, ring 11", "beak: 2 units tucked in, O Orange, ring 17", "left eye rim: disc of 14 mm glued on, O Orange, ring 18", "left eye: disc of 8 mm glued on, S Soot, ring 18",
		"right eye rim: disc of 14 mm glued on, O Orange, ring 18", "right eye: disc of 8 mm glued on, S Soot, ring 18"} {
		assert.Contains(t, page, want, i+1)
	}
	assert.NotContains(t, page, "Moss", "no unit has it")
	assert.NotContains(t, ask(t, s, get("/v/"+link.Token+"/build")).Body.String(), "Moss")
	assert.Contains(t, ask(t, s, by('m', get("/d/"+d.ID+"/state"))).Body.String(), "Moss", "it waits in the palette")
}
