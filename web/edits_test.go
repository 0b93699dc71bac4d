package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/internal/wire"
)

const testPage = "11111111-2222-4333-8444-555555555555"

// sending is a program's request with a JSON body.
func sending(path, body string) *http.Request {
	r := httptest.NewRequest("POST", path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	return r
}

// by gives a request the cookie of one person.
func by(person byte, r *http.Request) *http.Request {
	r.AddCookie(&http.Cookie{Name: personCookie, Value: strings.Repeat(string(person), 22)})
	return r
}

// told decodes a JSON answer.
func told[T any](t *testing.T, w *httptest.ResponseRecorder, status int) (out T) {
	t.Helper()
	require.Equal(t, status, w.Code, w.Body.String())
	require.Equal(t, "application/json", w.Header().Get("Content-Type"))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &out))
	return out
}

type refusal struct{ Code, What, Fix, Where string }

// edit sends steps numbered from seq on by one person's page.
func edit(t *testing.T, s *Server, base string, person byte, seq int, edits ...string) wire.EditsAnswer {
	t.Helper()
	var steps []string
	for i, e := range edits {
		steps = append(steps, fmt.Sprintf(`{"seq":%d,"edit":%s}`, seq+i, e))
	}
	w := ask(t, s, by(person, sending(base+"/edits", fmt.Sprintf(`{"client":%q,"name":"Mira","steps":[%s]}`, testPage, strings.Join(steps, ",")))))
	return told[wire.EditsAnswer](t, w, 200)
}

func state(t *testing.T, s *Server, base string, person byte) wire.State {
	t.Helper()
	return told[wire.State](t, ask(t, s, by(person, get(base+"/state"))), 200)
}

func TestStateIsTheWholeFigure(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	w := ask(t, s, by('m', get("/d/"+d.ID+"/state")))
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
	s, kept := keeping(t)
	base := "/d/" + keepLighthouse(t, kept).ID
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
	a := edit(t, s, base, 'm', 1, steps...)
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
	assert.Equal(t, wire.Past{CanUndo: true}, a.History)
	assert.Equal(t, 81, a.Totals.Units)
	assert.Equal(t, a, edit(t, s, base, 'm', 1, steps...), "sent twice, done once")
	assert.Equal(t, strings.Repeat("A", 20), state(t, s, base, 'm').Rings[0].Cells)
}

func TestUndoIsEachPersonsOwn(t *testing.T) {
	s, kept := keeping(t)
	base := "/d/" + keepLighthouse(t, kept).ID
	edit(t, s, base, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":1,"colour":"soot"}]}`)
	edit(t, s, base, 'j', 1, `{"do":"paint","runs":[{"ring":1,"at":1,"n":1,"colour":"chalk"}]}`)
	edit(t, s, base, 'm', 2, `{"do":"undo"}`)
	assert.Equal(t, "ABAA", state(t, s, base, 'm').Rings[0].Cells[:4])
	assert.Equal(t, wire.Past{CanRedo: true}, state(t, s, base, 'm').History)
	assert.Equal(t, wire.Past{CanUndo: true}, state(t, s, base, 'j').History)
	assert.Equal(t, wire.Past{}, state(t, s, base, 'a').History)
}

func TestNewBrowserGetsItsPerson(t *testing.T) {
	s, kept := keeping(t)
	base := "/d/" + keepLighthouse(t, kept).ID
	w := ask(t, s, get(base+"/state"))
	require.Len(t, w.Result().Cookies(), 1)
	c := w.Result().Cookies()[0]
	assert.Equal(t, personCookie, c.Name)
	assert.True(t, c.HttpOnly)
	assert.Equal(t, http.SameSiteLaxMode, c.SameSite)
	r := get(base + "/state")
	r.AddCookie(c)
	assert.Empty(t, ask(t, s, r).Result().Cookies(), "a known browser keeps it")
	r = get(base + "/state")
	r.AddCookie(&http.Cookie{Name: personCookie, Value: "<script>"})
	assert.Len(t, ask(t, s, r).Result().Cookies(), 1)
	assert.NotContains(t, personOf(c.Value), c.Value[:8], "others see a digest")
}

func TestRequestsThatAreNotUnderstoodAreRefused(t *testing.T) {
	s, kept := keeping(t)
	base := "/d/" + keepLighthouse(t, kept).ID
	good := `{"seq":1,"edit":{"do":"set_title","title":"Puffin"}}`
	for _, c := range []struct{ body, code, says string }{
		{``, "invalid", "not understood|not what the editor sends"},
		{`{"client":"` + testPage + `","steps":[` + good + `]`, "invalid", "not what the editor sends"},
		{`{"client":"` + testPage + `","steps":[` + good + `]} {}`, "invalid", "more than one value"},
		{`{"client":"` + testPage + `","steps":[` + good + `],"power":"edit"}`, "invalid", "unknown field"},
		{`{"client":"` + testPage + `","steps":[{"seq":1,"edit":{"do":"undo"},"rev":4}]}`, "invalid", "unknown field"},
		{`{"client":"` + testPage + `","steps":[{"seq":"1","edit":{"do":"undo"}}]}`, "invalid", "cannot unmarshal string"},
		{`{"client":"` + testPage + `","steps":[]}`, "invalid", "holds 0 steps"},
		{`{"client":"` + testPage + `","steps":[` + strings.Repeat(good+",", wire.MaxSteps) + good + `]}`, "invalid", "holds 1001 steps"},
		{`{"client":"me","steps":[` + good + `]}`, "invalid", "did not say who it is"},
		{`{"client":"<script>alert(1)","steps":[` + good + `]}`, "invalid", "did not say who it is"},
		{`{"client":"` + testPage + `","name":"` + strings.Repeat("é", wire.MaxPersonName+1) + `","steps":[` + good + `]}`, "invalid", "41 characters"},
		{`{"client":"` + testPage + `","name":"a\u0007b","steps":[` + good + `]}`, "invalid", "cannot be shown"},
		{`{"client":"` + testPage + `","steps":[{"seq":2,"edit":{"do":"undo"}}]}`, "conflict", "Step 2 came out of turn"},
		{`{"client":"` + testPage + `","steps":[{"seq":0,"edit":{"do":"undo"}}]}`, "conflict", "Step 0 came out of turn"},
		{`[1,2]`, "invalid", "cannot unmarshal array"},
		{"\xff\xfe", "invalid", "invalid character"},
	} {
		w := ask(t, s, by('m', sending(base+"/edits", c.body)))
		status := map[string]int{"invalid": 400, "conflict": 409}[c.code]
		got := told[refusal](t, w, status)
		assert.Equal(t, c.code, got.Code, c.body)
		assert.Regexp(t, c.says, got.What, c.body)
		assert.NotEmpty(t, got.Fix)
		assert.NotContains(t, got.What+got.Fix, "[web", "the sentences stand in the catalogue")
	}
	w := ask(t, s, by('m', sending(base+"/edits", `{"client":"`+testPage+`","steps":[{"seq":7,"edit":{"do":"undo"}}]}`)))
	assert.Equal(t, 1.0, told[map[string]any](t, w, 409)["expected"])

	r := by('m', httptest.NewRequest("POST", base+"/edits", strings.NewReader(`{"client":"`+testPage+`","steps":[`+good+`]}`)))
	r.Header.Set("Content-Type", "text/plain") // what a form of another site could send
	r.Header.Set("Accept", "application/json")
	assert.Equal(t, 400, ask(t, s, r).Code)
	big := sending(base+"/edits", "")
	big.Body = http.NoBody
	big.ContentLength = maxBody + 1
	assert.Equal(t, 413, ask(t, s, by('m', big)).Code)
	chunked := httptest.NewRequest("POST", base+"/edits", bytes.NewReader(make([]byte, maxBody+1)))
	chunked.Header.Set("Content-Type", "application/json")
	chunked.ContentLength = -1
	assert.Equal(t, "too_large", told[refusal](t, ask(t, s, by('m', chunked)), 413).Code)
	assert.Equal(t, "Harbour lighthouse", state(t, s, base, 'm').Title, "nothing was changed")
	assert.Equal(t, int64(0), state(t, s, base, 'm').Rev)
}

func TestLinksGiveTheirPowerAndNoMore(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	view, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	editLink, err := kept.MakeLink(context.Background(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	step := `{"client":"` + testPage + `","steps":[{"seq":1,"edit":{"do":"set_title","title":"Puffin"}}]}`
	here := `{"client":"` + testPage + `","name":"Mira","ring":1,"unit":2}`

	assert.Equal(t, store.PowerView, state(t, s, "/v/"+view.Token, 'v').Power)
	for path, body := range map[string]string{"/edits": step, "/here": here} {
		w := ask(t, s, by('v', sending("/v/"+view.Token+path, body)))
		got := told[refusal](t, w, 403)
		assert.Equal(t, "forbidden", got.Code)
		assert.Contains(t, got.What, "not change anything")
	}
	for _, path := range []string{"/history", "/at/0.svg"} {
		assert.Equal(t, 403, ask(t, s, by('v', get("/v/"+view.Token+path))).Code, path)
	}
	for _, path := range []string{"/e/" + view.Token, "/v/" + editLink.Token, "/e/nothing", "/d/nothing"} {
		w := ask(t, s, by('v', sending(path+"/edits", step)))
		assert.Equal(t, "not_found", told[refusal](t, w, 404).Code, path)
	}
	w := ask(t, s, by('v', sending("/d/nothing/here", here)))
	assert.Equal(t, "not_found", told[refusal](t, w, 404).Code)
	far := by('v', sending("/d/"+d.ID+"/edits", step))
	far.RemoteAddr = "203.0.113.9:4000"
	assert.Equal(t, 403, ask(t, s, far).Code, "the maker's address opens on the maker's machine only")
	assert.Equal(t, "Harbour lighthouse", state(t, s, "/d/"+d.ID, 'm').Title)

	far = by('v', sending("/e/"+editLink.Token+"/edits", step))
	far.RemoteAddr = "203.0.113.9:4000"
	assert.Equal(t, 200, ask(t, s, far).Code)
	assert.Equal(t, "Puffin", state(t, s, "/v/"+view.Token, 'v').Title)
	require.NoError(t, kept.RevokeLink(context.Background(), d.ID, editLink.Token))
	assert.Equal(t, 404, ask(t, s, by('v', sending("/e/"+editLink.Token+"/edits", step))).Code)
}

func TestHistoryListsAndShowsEarlierVersions(t *testing.T) {
	s, kept := keeping(t)
	base := "/d/" + keepLighthouse(t, kept).ID
	edit(t, s, base, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"soot"}]}`, `{"do":"undo"}`)
	edit(t, s, base, 'j', 1, `{"do":"set_title","title":"Puffin"}`)
	got := told[struct {
		Steps []wire.HistoryStep
		More  bool
	}](t, ask(t, s, by('m', get(base+"/history"))), 200)
	require.Len(t, got.Steps, 3)
	assert.False(t, got.More)
	for i := range got.Steps {
		assert.False(t, got.Steps[i].At.IsZero())
		got.Steps[i].At = got.Steps[0].At
	}
	at := got.Steps[0].At
	assert.Equal(t, []wire.HistoryStep{
		{Rev: 3, At: at, Name: "Mira", Kind: "edit", Label: "Changed the title to “Puffin”"},
		{Rev: 2, At: at, Name: "Mira", Own: true, Kind: "undo", Label: "Undid: Painted 3 units Soot", Target: 1},
		{Rev: 1, At: at, Name: "Mira", Own: true, Kind: "edit", Label: "Painted 3 units Soot", Undone: true},
	}, got.Steps)
	w := ask(t, s, by('m', get(base+"/at/1.svg")))
	assert.Equal(t, 200, w.Code)
	assert.Equal(t, "image/svg+xml", w.Header().Get("Content-Type"))
	assert.Contains(t, w.Body.String(), "<svg")
	for path, status := range map[string]int{"/at/4.svg": 404, "/at/-1.svg": 404, "/at/x.svg": 404, "/history?before=0": 400, "/history?before=x": 400, "/history?before=2": 200} {
		assert.Equal(t, status, ask(t, s, by('m', get(base+path))).Code, path)
	}
}
