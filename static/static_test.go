package static

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheBrowsersSideIsBuiltIn(t *testing.T) {
	require.NoError(t, Built())
	assert.Regexp(t, `^[0-9a-f]{12}$`, Version())
}

// foreign finds addresses that a style sheet would make the browser fetch from elsewhere.
var foreign = regexp.MustCompile(`(?i)(url\(|@import)\s*["']?(https?:)?//`)

func TestNoStyleSheetFetchesFromElsewhere(t *testing.T) {
	sheets, err := fs.Glob(Files(), "build/*.css")
	require.NoError(t, err)
	require.NotEmpty(t, sheets)
	for _, name := range sheets {
		data, err := fs.ReadFile(Files(), name)
		require.NoError(t, err)
		assert.False(t, foreign.Match(data), name)
	}
}

func TestTheTypefaceIsServedByTheApp(t *testing.T) {
	sheet, err := fs.ReadFile(Files(), "build/base.css")
	require.NoError(t, err)
	fonts := regexp.MustCompile(`url\("?\./([^")]+\.woff2)"?\)`).FindAllStringSubmatch(string(sheet), -1)
	require.Len(t, fonts, 4, "regular and bold, Latin and Latin extended")
	for _, font := range fonts {
		data, err := fs.ReadFile(Files(), "build/"+font[1])
		require.NoError(t, err, font[1])
		assert.True(t, strings.HasPrefix(string(data), "wOF2"), "%s is not WOFF2 (W3C, WOFF File Format 2.0)", font[1])
	}
}

func TestFontsOfThePagesAreThere(t *testing.T) {
	fonts := Fonts()
	require.Len(t, fonts, 2, "regular and bold")
	for _, name := range fonts {
		_, err := fs.Stat(Files(), name)
		require.NoError(t, err)
	}
}
