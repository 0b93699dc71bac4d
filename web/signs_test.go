package web

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestASignThatWasChosenIsSeenEverywhere(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	base := "/d/" + d.ID
	got := edit(t, s, base, 'm', 1, `{"do":"edit_colour","id":"soot","name":"Soot","hex":"#2b2b2e","sign":"K"}`,
		`{"do":"edit_colour","id":"brick","name":"Brick red","hex":"#a63a2b","sign":"K"}`)
	assert.Equal(t, "sign", got.Results[1].Refused["where"])
	assert.Contains(t, got.Results[1].Refused["what"], `"Brick red" and "Soot"`)

	colours := state(t, s, base, 'm').Colours
	assert.Equal(t, []wireColour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b", Sign: "B"},
		{ID: "chalk", Name: "Chalk", Hex: "#f4efe6", Sign: "C"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e", Sign: "K", Own: true}}, colours)
	assert.Contains(t, ask(t, s, get(base+"/build")).Body.String(), `<span class="sign">K</span>`)
	assert.Contains(t, ask(t, s, get(base+"/list")).Body.String(), `<span class="sign">K</span>`)
	assert.Contains(t, ask(t, s, get(base+"/pattern.svg")).Body.String(), ">KKK</text>")

	assert.Equal(t, 200, ask(t, s, by('m', sending(base+"/edits", `{"client":"`+testPage+`","name":"","steps":[{"seq":3,"edit":{"do":"undo"}}]}`))).Code)
	assert.Equal(t, "S", state(t, s, base, 'm').Colours[2].Sign, "undo brings the sign back that came by itself")
}
