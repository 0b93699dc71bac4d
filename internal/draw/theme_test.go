package draw

import (
	"image/color"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Drawings lie on the pages that base.css paints, and 3D stands among them: one token, one colour.
func TestDrawingsHaveTheColoursOfThePage(t *testing.T) {
	sheet, err := os.ReadFile("../../static/css/base.css")
	require.NoError(t, err)
	token := func(name string) string {
		m := regexp.MustCompile(`(?m)^\s*--` + name + `:\s*(#[0-9a-f]{6});`).FindSubmatch(sheet)
		require.NotNil(t, m, "base.css has a token --%s", name)
		return string(m[1])
	}
	for name, drawn := range map[string]color.NRGBA{
		"card": card, "ink": ink, "muted": muted, "line": hair, "accent": accent, "accent-tint": accentTint, "fault": warningRed,
	} {
		assert.Equal(t, token(name), Hex(drawn), "--%s", name)
	}
	for _, elsewhere := range []struct {
		name, token string
		found       *regexp.Regexp
	}{
		{".templ", "card", regexp.MustCompile(`name="theme-color" content="(#[0-9a-f]{6})"`)},
		{".ts", "accent", regexp.MustCompile(`const ACCENT = "(#[0-9a-f]{6})"`)},
		{".ts", "card", regexp.MustCompile(`const PALE = "(#[0-9a-f]{6})"`)},
	} {
		assert.Equal(t, token(elsewhere.token), only(t, elsewhere.name, elsewhere.found), elsewhere.found)
	}
}

// only is what the pattern finds in the one file under web with this ending that has it.
func only(t *testing.T, ending string, pattern *regexp.Regexp) string {
	var found []string
	require.NoError(t, filepath.WalkDir("../../web", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.Name() == "node_modules" {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ending) {
			return nil
		}
		text, err := os.ReadFile(path)
		if m := pattern.FindSubmatch(text); m != nil {
			found = append(found, string(m[1]))
		}
		return err
	}))
	require.Len(t, found, 1, "%s in one file", pattern)
	return found[0]
}
