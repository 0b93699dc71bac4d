package web_test

import (
	"context"
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	demos "tuckring/internal/shelf"
	"tuckring/internal/store"
	"tuckring/web/webtest"
)

// With one glued piece of a kind the list, and what was printed of it, named a sentence's key instead of the
// piece. Every page of every demo figure says whole sentences; TestMain looks at what could not be said.
func TestEveryPageOfTheDemoFiguresSaysWholeSentences(t *testing.T) {
	s, kept := webtest.Keeping(t)
	key := regexp.MustCompile(`\[[a-z_]+(\.[a-z_]+)+\]|no value|a sentence is missing|…›`)
	for _, demo := range demos.Demo() {
		d, err := kept.Create(context.Background(), demo.Figure)
		require.NoError(t, err)
		for _, path := range []string{"", "/report", "/list", "/cut", "/kits?people=7", "/build", "/fold", "/size", "/check", "/share", "/stand"} {
			page := webtest.ReadPage(t, s, "/d/"+d.ID+path, 200)
			_, catalogue, _ := strings.Cut(page, `<script id="words"`)
			assert.NotRegexp(t, key, strings.Replace(page, catalogue, "", 1), demo.Name+path)
		}
		if demo.Name == "lighthouse" {
			assert.Contains(t, webtest.ReadPage(t, s, "/d/"+d.ID+"/list", 200), "1 × disc of 16 mm")
		}
	}
}

// Whoever reads numbers is told that they do not rest on the settings saved with the figure; only the page whose form
// replaces those says so.
func TestPagesTellThatSettingsCannotBeRead(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	const told, replaced = "This version cannot read the settings saved with this figure, so the usual ones are used.", "Saving the form replaces them."
	pages := []string{"/report", "/list", "/cut", "/kits", "/size", "/check", "/stand"}
	for _, base := range []string{"/d/" + d.ID, "/v/" + link.Token} {
		for _, page := range pages {
			assert.NotContains(t, webtest.ReadPage(t, s, base+page, 200), told, base+page)
		}
	}
	require.NoError(t, kept.SetSettings(t.Context(), d.ID, json.RawMessage(`{"sheet":"A3","laser":true}`)))
	for _, base := range []string{"/d/" + d.ID, "/v/" + link.Token} {
		for _, page := range pages {
			text := webtest.ReadPage(t, s, base+page, 200)
			assert.Contains(t, text, told, base+page)
			assert.Equal(t, base+page == "/d/"+d.ID+"/report", strings.Contains(text, replaced), base+page)
		}
	}
}
