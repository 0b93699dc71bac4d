package web_test

import (
	"encoding/json"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/webtest"
)

// badNames show nothing, or read otherwise than they are written (UAX #44, UAX #9).
var badNames = map[string]string{"\u200B": "show nothing", "photo\u202Egpj": "direction of writing", "one\u2028two": "more than one line"}

func TestNamesThatShowNothingAreRefusedAtEveryDoor(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	for name, says := range badNames {
		form := url.Values{"title": {name}, "units": {"12"}, "rings": {"3"}, "size": {"a9"}, "fold": {"doubled"}, "ground": {"chalk"}, "papers": {"chalk"}}
		answer := webtest.Ask(t, s, webtest.Post("/new", form))
		assert.Equal(t, 422, answer.Code, "%q", name)
		assert.Contains(t, answer.Body.String(), says)
		form.Set("title", "Tower")
		form.Set("own_name", name)
		form.Set("own_hex", "#112233")
		assert.Equal(t, 422, webtest.Ask(t, s, webtest.Post("/new", form)).Code, "%q", name)

		f, err := figure.Read(webtest.Lighthouse(t))
		require.NoError(t, err)
		f.Title, f.Colours[1].Name = name, name
		answer = webtest.Ask(t, s, webtest.SendingFile(t, "/open", "figure.json", f.Write()))
		assert.Equal(t, 422, answer.Code)
		assert.Contains(t, answer.Body.String(), says)
		assert.Contains(t, answer.Body.String(), "colours[1].name")

		quoted, err := json.Marshal(name)
		require.NoError(t, err)
		for _, edit := range []string{`{"do":"set_title","title":` + string(quoted) + `}`, `{"do":"add_colour","name":` + string(quoted) + `,"hex":"#112233"}`} {
			body := webtest.Ask(t, s, webtest.Sending("/d/"+d.ID+"/try", `{"edit":`+edit+`}`))
			assert.Contains(t, body.Body.String(), `"refused"`, edit)
			assert.Contains(t, body.Body.String(), says)
			body = webtest.Ask(t, s, webtest.Sending("/d/"+d.ID+"/edits", `{"client":"11111111-2222","steps":[{"seq":1,"edit":`+edit+`}]}`))
			assert.Contains(t, body.Body.String(), `"refused"`, edit)
		}
		if !strings.Contains(name, "\u2028") { // blanks within a person's name become one, as they always did
			assert.Equal(t, 400, webtest.Ask(t, s, webtest.Sending("/d/"+d.ID+"/here", `{"client":"11111111-2222","name":`+string(quoted)+`}`)).Code)
		}
	}
	list, err := kept.List(t.Context(), false)
	require.NoError(t, err)
	assert.Len(t, list, 1, "nothing was put on the shelf")
}

func TestAStoredFigureOfAnyNameStaysReadable(t *testing.T) {
	s, kept := webtest.Keeping(t)
	f, err := figure.Read(webtest.Lighthouse(t))
	require.NoError(t, err)
	f.Title = "\u200B"
	d, err := kept.Create(t.Context(), f) // as an earlier version kept it
	require.NoError(t, err)
	step := store.Ask{Seq: 1, Kind: store.KindEdit, Edit: &figure.SetTitle{Title: "photo\u202Egpj"}}
	answers, err := kept.Apply(t.Context(), d.ID, store.Person{ID: "mira"}, "page", []store.Ask{step})
	require.NoError(t, err)
	require.Empty(t, answers[0].Faults)
	for _, path := range []string{"/", "/d/" + d.ID, "/d/" + d.ID + "/history", "/d/" + d.ID + "/at/0.svg", "/d/" + d.ID + "/report"} {
		assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get(path)).Code, path)
	}
	answers, err = kept.Apply(t.Context(), d.ID, store.Person{ID: "mira"}, "page", []store.Ask{{Seq: 2, Kind: store.KindUndo}})
	require.NoError(t, err)
	require.Empty(t, answers[0].Faults)
	_, now, err := kept.Get(t.Context(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, "\u200B", now.Title)
	named := webtest.Ask(t, s, webtest.Sending("/d/"+d.ID+"/edits", `{"client":"11111111-2222","steps":[{"seq":1,"edit":{"do":"set_title","title":"Lighthouse"}}]}`))
	assert.NotContains(t, named.Body.String(), "refused")
}
