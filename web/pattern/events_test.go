package pattern_test

import (
	"bufio"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

func TestOnlySoManyStreamsOfOneLink(t *testing.T) {
	_, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	home := webtest.Running(t, kept, 0)
	open := func(base string) int {
		stream, err := http.Get(home + base + "/events?since=0")
		require.NoError(t, err)
		t.Cleanup(func() { _ = stream.Body.Close() })
		return stream.StatusCode
	}
	opened := 0
	for open("/v/"+link.Token) == 200 {
		opened++
		require.Less(t, opened, 200)
	}
	assert.Equal(t, 96, opened)
	assert.Equal(t, 429, open("/v/"+link.Token))
	assert.Equal(t, 200, open("/d/"+d.ID), "the maker is never kept out")
}

func TestAnEndedLinkIsToldNothingMore(t *testing.T) {
	_, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	home := webtest.Running(t, kept, 0)
	stream, err := http.Get(home + "/v/" + link.Token + "/events?since=0&client=" + webtest.TestPage)
	require.NoError(t, err)
	defer func() { _ = stream.Body.Close() }()
	lines := bufio.NewReader(stream.Body)
	_, err = lines.ReadString('\n')
	require.NoError(t, err)

	off, err := http.Post(home+"/d/"+d.ID+"/share/"+link.Token+"/revoke", "application/x-www-form-urlencoded", nil)
	require.NoError(t, err)
	_ = off.Body.Close()
	step, err := http.Post(home+"/d/"+d.ID+"/edits", "application/json",
		strings.NewReader(`{"client":"`+webtest.TestPage+`","steps":[{"seq":1,"edit":{"do":"set_title","title":"Secret from now on"}}]}`))
	require.NoError(t, err)
	require.Equal(t, 200, step.StatusCode)
	_ = step.Body.Close()
	rest, err := io.ReadAll(lines) // ends, since the stream does
	require.NoError(t, err)
	assert.NotContains(t, string(rest), "Secret")
	again, err := http.Get(home + "/v/" + link.Token + "/events?since=0&client=" + webtest.TestPage)
	require.NoError(t, err)
	_ = again.Body.Close()
	assert.Equal(t, 404, again.StatusCode)
}

// TestEventsBeginWhereTheReaderStands reads the stream itself.
func TestEventsBeginWhereTheReaderStands(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	app := httptest.NewServer(s)
	defer app.Close()
	webtest.Edit(t, s, "/d/"+d.ID, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":2,"n":3,"colour":"soot","side":"short"}]}`, `{"do":"set_title","title":"Puffin"}`)
	for _, c := range []struct {
		since, last string
		want        []string
	}{
		{"0", "", []string{"id: 1", "event: step", `data: {"rev":1,`}},
		{"1", "", []string{"id: 2", "event: step", `data: {"rev":2,`}},
		{"0", "1", []string{"id: 2", "event: step", `data: {"rev":2,`}},
		{"9", "", []string{"event: resync", "data: {}"}},
	} {
		r, err := http.NewRequest("GET", app.URL+"/d/"+d.ID+"/events?since="+c.since, nil)
		require.NoError(t, err)
		if c.last != "" {
			r.Header.Set("Last-Event-ID", c.last)
		}
		w, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		lines := bufio.NewScanner(w.Body)
		require.True(t, lines.Scan())
		assert.Equal(t, "retry: 1000", lines.Text())
		require.True(t, lines.Scan())
		for _, want := range c.want {
			require.True(t, lines.Scan())
			require.True(t, strings.HasPrefix(lines.Text(), want), "%s does not begin with %s", lines.Text(), want)
		}
		require.NoError(t, w.Body.Close())
	}
	for _, since := range []string{"", "x", "-1", "1.5"} {
		assert.Equal(t, 400, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/events?since="+since)).Code, since)
	}
	assert.Equal(t, 400, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/events?since=0&client=<b>")).Code)
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get("/d/nothing/events?since=0")).Code)
}

// events collects what one page hears until it has heard so many. Like a page it fetches the state first; the totals are
// then counted and come with the steps.
func events(t *testing.T, url string, person byte, n int) <-chan []string {
	t.Helper()
	base, _, _ := strings.Cut(url, "/events")
	state, err := http.Get(base + "/state")
	require.NoError(t, err)
	require.NoError(t, state.Body.Close())
	r, err := http.NewRequest("GET", url, nil)
	require.NoError(t, err)
	w, err := http.DefaultClient.Do(webtest.By(person, r))
	require.NoError(t, err)
	out := make(chan []string, 1)
	go func() {
		defer func() { _ = w.Body.Close() }()
		var got []string
		for lines := bufio.NewScanner(w.Body); len(got) < n && lines.Scan(); {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				got = append(got, data)
			}
		}
		out <- got
	}()
	return out
}

func TestStepEventTellsWhoDidWhat(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	app := httptest.NewServer(s)
	defer app.Close()
	jon := events(t, app.URL+base+"/events?since=0", 'j', 2)
	webtest.Edit(t, s, base, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":2,"n":3,"colour":"soot","side":"short"}]}`, `{"do":"undo"}`)
	got := <-jon
	var first, second map[string]any
	require.NoError(t, json.Unmarshal([]byte(got[0]), &first))
	require.NoError(t, json.Unmarshal([]byte(got[1]), &second))
	totals := first["totals"].(map[string]any)
	delete(first, "totals")
	assert.Equal(t, map[string]any{"rev": 1.0, "client": webtest.TestPage, "seq": 1.0, "person": kernel.PersonOf(strings.Repeat("m", 22)), "name": "Mira",
		"label": "Painted 3 units Soot", "undoes": 0.0,
		"change": map[string]any{"paint": []any{map[string]any{"ring": 1.0, "at": 2.0, "n": 3.0, "colour": 2.0, "side": "short"}}}}, first)
	assert.Equal(t, 81.0, totals["units"])
	assert.Equal(t, 1.0, second["undoes"])
}

func TestPageHearsWhatConcernsItsPersonOnly(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	app := httptest.NewServer(s)
	defer app.Close()
	mine := events(t, app.URL+base+"/events?since=0&client="+webtest.TestPage, 'm', 4)
	other := events(t, app.URL+base+"/events?since=0", 'm', 3)
	jon := events(t, app.URL+base+"/events?since=0", 'j', 2)
	webtest.Edit(t, s, base, 'm', 1, `{"do":"set_title","title":"Puffin"}`, `{"do":"set_title","title":"Puffin"}`)
	here := webtest.Sending(base+"/here", `{"client":"`+webtest.TestPage+`","name":" Mira  B. ","ring":3,"unit":7}`)
	assert.Equal(t, 204, webtest.Ask(t, s, webtest.By('m', here)).Code)
	people := `[{"client":"` + webtest.TestPage + `","name":"Mira B.","tint":0,"ring":3,"unit":7}]`
	past := `{"can_undo":true,"can_redo":false}`
	gotMine, gotOther, gotJon := <-mine, <-other, <-jon
	assert.Contains(t, gotMine[1], `"rev":1,"client":"`+webtest.TestPage+`","seq":2`, "the second changed nothing; the page need not wait for it")
	assert.Equal(t, []string{past, people}, gotMine[2:])
	assert.Equal(t, []string{past, people}, gotOther[1:])
	assert.Equal(t, people, gotJon[1])
}
