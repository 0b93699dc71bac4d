package pattern_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/wire"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

func TestStateIsTheWholeFigure(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	w := webtest.Ask(t, s, webtest.By('m', webtest.Get("/d/"+d.ID+"/state")))
	var got map[string]any
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &got))
	// Worked out by hand from the document of the contract: 20 units a ring; ring 4 has 10 units that take
	// 4 points each; ring 5 has 9 that take 2 and leaves 2 points free; front at unit 8.5 of 20.
	rings := got["rings"].([]any)
	require.Len(t, rings, 5)
	assert.Equal(t, map[string]any{"id": 1.0, "cells": strings.Repeat("A", 20), "from": -0.025}, rings[0])
	assert.Equal(t, map[string]any{"id": 2.0, "start": 1.0, "cells": strings.Repeat("A", 20), "from": 0.0, "after": "open out"}, rings[1])
	assert.Equal(t, map[string]any{"id": 3.0, "start": 39.0, "cells": "BBBBBBBCCCBBBBBBBBBB", "sides": "LLLLLLLSSSLLLLLLLLLL", "from": -0.025}, rings[2])
	assert.Equal(t, strings.Repeat("4", 10), rings[3].(map[string]any)["takes"])
	ring5 := rings[4].(map[string]any)
	assert.Equal(t, []any{[]any{0.0, 2.0}}, ring5["free"])
	assert.Len(t, ring5["edges"], 18)
	assert.NotContains(t, ring5, "from")
	assert.Equal(t, 8.5, got["front"])
	assert.Equal(t, 0.425, got["front_turn"])
	assert.Equal(t, "edit", got["power"])
	assert.Equal(t, map[string]any{"can_undo": false, "can_redo": false}, got["history"])
	assert.Equal(t, 81.0, got["totals"].(map[string]any)["units"], "79 in rings and a gallery rail of 2")
	assert.Equal(t, 79.0, got["totals"].(map[string]any)["in_rings"])
	assert.Equal(t, map[string]any{"key": 2.0, "kind": "glued", "name": "lamp", "outline": "disc", "diameter_mm": 50.0, "ring": 3.0, "at": 8.5}, got["extras"].([]any)[1])
	assert.Equal(t, map[string]any{"id": "brick", "name": "Brick red", "hex": "#a63a2b", "sign": "B"}, got["colours"].([]any)[0])
}

func TestStepsAreAnsweredOneByOne(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	steps := []string{
		`{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"soot"}]}`,
		`{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"gold"}]}`,
		`{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"soot"}]}`,
		`{"do":"dance"}`,
		`{"do":"undo","twice":true}`,
		`{"do":"restore"}`,
		`"paint"`,
		`{"do":"undo"}`,
		`{"do":"redo"}`,
		`{"do":"restore","rev":0}`,
	}
	a := webtest.Edit(t, s, base, 'm', 1, steps...)
	assert.Equal(t, int64(4), a.Rev)
	assert.Equal(t, wire.StepResult{Seq: 1, Rev: 1}, a.Results[0])
	assert.Equal(t, "runs[0].colour", a.Results[1].Refused.Where)
	assert.Equal(t, wire.StepResult{Seq: 3, Rev: 1, Nothing: true}, a.Results[2])
	for _, i := range []int{1, 3, 4, 5, 6} {
		require.NotEmpty(t, a.Results[i].Refused.What, steps[i])
		require.NotEmpty(t, a.Results[i].Refused.Fix, steps[i])
		require.NotContains(t, fmt.Sprint(a.Results[i].Refused), "[web", "the sentences stand in the catalogue")
	}
	assert.Equal(t, []int64{2, 3, 4}, []int64{a.Results[7].Rev, a.Results[8].Rev, a.Results[9].Rev})
	assert.Equal(t, wire.History{CanUndo: true}, a.History)
	assert.Equal(t, 81, a.Totals.Units)
	assert.Equal(t, a, webtest.Edit(t, s, base, 'm', 1, steps...), "sent twice, done once")
	assert.Equal(t, strings.Repeat("A", 20), webtest.State(t, s, base, 'm').Rings[0].Cells)
}

func TestUndoIsEachPersonsOwn(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	webtest.Edit(t, s, base, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":1,"colour":"soot"}]}`)
	webtest.Edit(t, s, base, 'j', 1, `{"do":"paint","runs":[{"ring":1,"at":1,"n":1,"colour":"chalk"}]}`)
	webtest.Edit(t, s, base, 'm', 2, `{"do":"undo"}`)
	assert.Equal(t, "ABAA", webtest.State(t, s, base, 'm').Rings[0].Cells[:4])
	assert.Equal(t, wire.History{CanRedo: true}, webtest.State(t, s, base, 'm').History)
	assert.Equal(t, wire.History{CanUndo: true}, webtest.State(t, s, base, 'j').History)
	assert.Equal(t, wire.History{}, webtest.State(t, s, base, 'a').History)
}

func TestRequestsThatAreNotUnderstoodAreRefused(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	good := `{"seq":1,"edit":{"do":"set_title","title":"Puffin"}}`
	for _, c := range []struct{ body, code, says string }{
		{``, "invalid", "not understood|not what the editor sends"},
		{`{"client":"` + webtest.TestPage + `","steps":[` + good + `]`, "invalid", "not what the editor sends"},
		{`{"client":"` + webtest.TestPage + `","steps":[` + good + `]} {}`, "invalid", "more than one value"},
		{`{"client":"` + webtest.TestPage + `","steps":[` + good + `],"power":"edit"}`, "invalid", "unknown field"},
		{`{"client":"` + webtest.TestPage + `","steps":[{"seq":1,"edit":{"do":"undo"},"rev":4}]}`, "invalid", "unknown field"},
		{`{"client":"` + webtest.TestPage + `","steps":[{"seq":"1","edit":{"do":"undo"}}]}`, "invalid", "cannot unmarshal string"},
		{`{"client":"` + webtest.TestPage + `","steps":[]}`, "invalid", "holds 0 steps"},
		{`{"client":"` + webtest.TestPage + `","steps":[` + strings.Repeat(good+",", wire.MaxSteps) + good + `]}`, "invalid", "holds 1001 steps"},
		{`{"client":"me","steps":[` + good + `]}`, "invalid", "did not say who it is"},
		{`{"client":"<script>alert(1)","steps":[` + good + `]}`, "invalid", "did not say who it is"},
		{`{"client":"` + webtest.TestPage + `","name":"` + strings.Repeat("é", wire.MaxPersonName+1) + `","steps":[` + good + `]}`, "invalid", "41 characters"},
		{`{"client":"` + webtest.TestPage + `","name":"a\u0007b","steps":[` + good + `]}`, "invalid", "cannot be shown"},
		{`{"client":"` + webtest.TestPage + `","steps":[{"seq":2,"edit":{"do":"undo"}}]}`, "conflict", "Step 2 came out of turn"},
		{`{"client":"` + webtest.TestPage + `","steps":[{"seq":0,"edit":{"do":"undo"}}]}`, "conflict", "Step 0 came out of turn"},
		{`[1,2]`, "invalid", "cannot unmarshal array"},
		{"\xff\xfe", "invalid", "invalid character"},
	} {
		w := webtest.Ask(t, s, webtest.By('m', webtest.Sending(base+"/edits", c.body)))
		status := map[string]int{"invalid": 400, "conflict": 409}[c.code]
		got := webtest.Answer[webtest.Refusal](t, w, status)
		assert.Equal(t, c.code, got.Code, c.body)
		assert.Regexp(t, c.says, got.What, c.body)
		assert.NotEmpty(t, got.Fix)
		assert.NotContains(t, got.What+got.Fix, "[web", "the sentences stand in the catalogue")
	}
	w := webtest.Ask(t, s, webtest.By('m', webtest.Sending(base+"/edits", `{"client":"`+webtest.TestPage+`","steps":[{"seq":7,"edit":{"do":"undo"}}]}`)))
	assert.Equal(t, 1.0, webtest.Answer[map[string]any](t, w, 409)["expected"])

	r := webtest.By('m', httptest.NewRequest("POST", base+"/edits", strings.NewReader(`{"client":"`+webtest.TestPage+`","steps":[`+good+`]}`)))
	r.Header.Set("Content-Type", "text/plain") // what a form of another site could send
	r.Header.Set("Accept", "application/json")
	assert.Equal(t, 400, webtest.Ask(t, s, r).Code)
	big := webtest.Sending(base+"/edits", "")
	big.Body = http.NoBody
	big.ContentLength = kernel.MaxBody + 1
	assert.Equal(t, 413, webtest.Ask(t, s, webtest.By('m', big)).Code)
	chunked := httptest.NewRequest("POST", base+"/edits", bytes.NewReader(make([]byte, kernel.MaxBody+1)))
	chunked.Header.Set("Content-Type", "application/json")
	chunked.ContentLength = -1
	assert.Equal(t, "too_large", webtest.Answer[webtest.Refusal](t, webtest.Ask(t, s, webtest.By('m', chunked)), 413).Code)
	assert.Equal(t, "Harbour lighthouse", webtest.State(t, s, base, 'm').Title, "nothing was changed")
	assert.Equal(t, int64(0), webtest.State(t, s, base, 'm').Rev)
}
