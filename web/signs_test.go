package web_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/wire"
	"tuckring/web/webtest"
)

func TestASignThatWasChosenIsSeenEverywhere(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	base := "/d/" + d.ID
	got := webtest.Edit(t, s, base, 'm', 1, `{"do":"edit_colour","id":"soot","name":"Soot","hex":"#2b2b2e","sign":"K"}`,
		`{"do":"edit_colour","id":"brick","name":"Brick red","hex":"#a63a2b","sign":"K"}`)
	assert.Equal(t, "sign", got.Results[1].Refused.Where)
	assert.Contains(t, got.Results[1].Refused.What, `"Brick red" and "Soot"`)

	colours := webtest.State(t, s, base, 'm').Colours
	assert.Equal(t, []wire.Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b", Sign: "B"},
		{ID: "chalk", Name: "Chalk", Hex: "#f4efe6", Sign: "C"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e", Sign: "K", Own: true}}, colours)
	assert.Contains(t, webtest.Ask(t, s, webtest.Get(base+"/build")).Body.String(), `<span class="sign">K</span>`)
	assert.Contains(t, webtest.Ask(t, s, webtest.Get(base+"/list")).Body.String(), `<span class="sign">K</span>`)
	assert.Contains(t, webtest.Ask(t, s, webtest.Get(base+"/pattern.svg")).Body.String(), ">KKK</text>")

	assert.Equal(t, 200, webtest.Ask(t, s, webtest.By('m', webtest.Sending(base+"/edits", `{"client":"`+webtest.TestPage+`","name":"","steps":[{"seq":3,"edit":{"do":"undo"}}]}`))).Code)
	assert.Equal(t, "S", webtest.State(t, s, base, 'm').Colours[2].Sign, "undo brings the sign back that came by itself")
}
