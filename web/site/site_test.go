package site_test

import (
	"bytes"
	"net/url"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/site"
	"tuckring/internal/words"
	room "tuckring/web/site"
)

func siteOf(t *testing.T, f *figure.Figure) map[string][]byte {
	t.Helper()
	files, err := room.Files(f, report.DefaultSettings(), words.English)
	require.NoError(t, err)
	out := map[string][]byte{}
	for _, file := range files {
		require.NotContains(t, out, file.Name, "each name once")
		require.NotEmpty(t, file.Data, file.Name)
		out[file.Name] = file.Data
	}
	return out
}

func puffin(t *testing.T) (*figure.Figure, []byte) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/shelf/puffin.tuckring.json")
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f, data
}

// puffinFiles are made once, for the tests that only read them.
var puffinFiles map[string][]byte

func puffinSite(t *testing.T) map[string][]byte {
	t.Helper()
	if puffinFiles == nil {
		f, _ := puffin(t)
		puffinFiles = siteOf(t, f)
	}
	return puffinFiles
}

// voids are the elements that have no end tag (HTML Living Standard, 13.1.2).
var voids = map[string]bool{"meta": true, "link": true, "img": true, "br": true, "hr": true, "input": true}

// tagsOf reads a page and fails the test when an element is not closed in its turn or an id stands twice.
func tagsOf(t *testing.T, page []byte) (tags []html.Token, ids map[string]bool) {
	t.Helper()
	ids = map[string]bool{}
	var open []string
	for z := html.NewTokenizer(bytes.NewReader(page)); ; {
		kind := z.Next()
		if kind == html.ErrorToken {
			break
		}
		tag := z.Token()
		switch kind {
		case html.StartTagToken:
			if !voids[tag.Data] {
				open = append(open, tag.Data)
			}
			tags = append(tags, tag)
		case html.SelfClosingTagToken:
			tags = append(tags, tag)
		case html.EndTagToken:
			require.NotEmpty(t, open, "</%s> closes nothing", tag.Data)
			require.Equal(t, open[len(open)-1], tag.Data, "closed in turn")
			open = open[:len(open)-1]
		}
		for _, a := range tag.Attr {
			if a.Key == "id" {
				require.False(t, ids[a.Val], "id %s stands twice", a.Val)
				ids[a.Val] = true
			}
		}
	}
	require.Empty(t, open, "left open")
	return tags, ids
}

// Every address in the page is relative, without leaving the folder, and leads to a file of the site or to
// a place in the page; every file is reached from somewhere.
func TestEveryLinkOfASiteLeadsToAFileOfIt(t *testing.T) {
	files := puffinSite(t)
	tags, ids := tagsOf(t, files["index.html"])
	reached := map[string]bool{"index.html": true}
	follow := func(from, address string) {
		u, err := url.Parse(address)
		require.NoError(t, err)
		assert.True(t, u.Scheme == "" && u.Host == "" && !strings.HasPrefix(u.Path, "/"), "%s: %s", from, address)
		if u.Path == "" {
			assert.True(t, ids[u.Fragment], "%s: #%s", from, u.Fragment)
			return
		}
		name := path.Join(path.Dir(from), u.Path)
		assert.Contains(t, files, name, "%s: %s", from, address)
		reached[name] = true
	}
	for _, tag := range tags {
		for _, a := range tag.Attr {
			if a.Key == "href" || a.Key == "src" {
				follow("index.html", a.Val)
			}
		}
	}
	addresses := regexp.MustCompile(`url\("?([^")]+)"?\)`)
	for name, data := range files {
		if path.Ext(name) == ".css" {
			for _, found := range addresses.FindAllSubmatch(data, -1) {
				follow(name, string(found[1]))
			}
		}
	}
	for name := range files {
		assert.True(t, reached[name], "nothing leads to %s", name)
	}
}

// Nothing in a site runs, and nothing in it comes from elsewhere: the only addresses with a host are the
// names of XML's own vocabularies.
func TestASiteHasNoScriptsAndAsksNobody(t *testing.T) {
	files := puffinSite(t)
	tags, _ := tagsOf(t, files["index.html"])
	for _, tag := range tags {
		assert.NotContains(t, []string{"script", "iframe", "object", "embed", "form", "base", "style"}, tag.Data)
		for _, a := range tag.Attr {
			assert.False(t, strings.HasPrefix(a.Key, "on") || a.Key == "style", "%s %s", tag.Data, a.Key)
		}
	}
	address := regexp.MustCompile(`(?i)(https?:)?//[a-z0-9.-]+\.[a-z]+[^"' )<]*|@import|javascript:`)
	for name, data := range files {
		switch path.Ext(name) {
		case ".html", ".css", ".svg", ".json", ".csv":
			for _, found := range address.FindAll(data, -1) {
				assert.Equal(t, "http://www.w3.org/2000/svg", string(found), name)
			}
		}
	}
}

func TestASiteHandsOutTheDocumentByteForByte(t *testing.T) {
	_, data := puffin(t)
	assert.Equal(t, string(data), string(puffinSite(t)["figure.tuckring.json"]))
}

// The cautions stand at the step where something can hurt: the blade before the first ring, hot glue at the ring
// where the first piece is glued on (the puffin's eyes, ring 18), candles at the end.
func TestCautionsOfASiteStandAtTheStep(t *testing.T) {
	page := string(puffinSite(t)["index.html"])
	at := -1
	for _, text := range []string{`id="build"`, "Trimmer and knife blades cut", "choking hazard", `id="ring-1"`, "left foot: Tuck into",
		`id="ring-18"`, "Glue on", "Hot glue and its nozzle burn skin", `id="ring-19"`, "When the last ring is built", "away from candles"} {
		next := strings.Index(page[at+1:], text)
		require.GreaterOrEqual(t, next, 0, "%q after what comes before it", text)
		at += 1 + next
	}
}

// What somebody calls a figure, a paper or a piece is text, whatever is in it.
func TestNamesInASiteAreText(t *testing.T) {
	f, _ := puffin(t)
	const evil = `<script src="https://example.org/x.js"></script>"onload="x`
	f.Title, f.Colours[0].Name, f.Extras[0].Name, f.Rings[2].After = evil, evil, evil, evil
	files := siteOf(t, f)
	tags, _ := tagsOf(t, files["index.html"])
	for _, tag := range tags {
		assert.NotEqual(t, "script", tag.Data)
		for _, a := range tag.Attr {
			assert.NotEqual(t, "onload", a.Key)
		}
	}
	for name, data := range files {
		if path.Ext(name) == ".svg" {
			assert.NotContains(t, string(data), "<script", name)
		}
	}
}

func TestASiteFitsTheNamesItMayHave(t *testing.T) {
	plain := regexp.MustCompile(`^([A-Za-z0-9._-]+/)?[A-Za-z0-9._-]+$`)
	for name := range puffinSite(t) {
		assert.Regexp(t, plain, name)
		assert.NotEqual(t, site.Mark, name)
	}
}
