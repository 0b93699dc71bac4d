package web_test

import (
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	demos "tuckring/internal/shelf"
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
		for _, path := range []string{"", "/report", "/list", "/cut", "/kits?people=7", "/build", "/size", "/check", "/share", "/stand"} {
			page := webtest.ReadPage(t, s, "/d/"+d.ID+path, 200)
			_, catalogue, _ := strings.Cut(page, `<script id="words"`)
			assert.NotRegexp(t, key, strings.Replace(page, catalogue, "", 1), demo.Name+path)
		}
		if demo.Name == "lighthouse" {
			assert.Contains(t, webtest.ReadPage(t, s, "/d/"+d.ID+"/list", 200), "1 × disc of 16 mm")
		}
	}
}
