package main

import (
	"archive/zip"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTutorialIsOneZip(t *testing.T) {
	dir := t.TempDir()
	figure := write(t, dir, "post.tuckring.json", `{"tuckring": 1, "title": "Post", "unit": {"long_mm": 52, "short_mm": 37}, "colours": [{"id": "a", "name": "Sea", "hex": "#0b6e6e"}], "rings": [{"runs": [{"n": 6, "colour": "a"}]}, {"runs": [{"n": 6, "colour": "a"}]}]}`)
	out := filepath.Join(dir, "post.zip")
	for _, wrong := range []struct {
		args []string
		says string
	}{
		{[]string{figure}, "--out"},
		{[]string{figure, "--out", out, "--language", "xx"}, "Write en."},
		{[]string{figure, "--out", out, "--sheet", "napkin"}, "--sheet"},
		{[]string{figure, "--out", out, "--credit", "a\tb"}, "--credit"},
	} {
		_, errs, code := tuckring(t, "", append([]string{"tutorial"}, wrong.args...)...)
		assert.Equal(t, 2, code, wrong.args)
		assert.Contains(t, errs, wrong.says)
	}
	_, errs, code := tuckring(t, "", "tutorial", figure, "--out", figure)
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "--out")
	assert.NoFileExists(t, out)
	said, errs, code := tuckring(t, "", "tutorial", figure, "--out", out, "--credit", "The folding club")
	require.Equal(t, 0, code, errs)
	assert.Contains(t, said, "post.zip")
	assert.Contains(t, errs, " parts\n", "how far it is")
	z, err := zip.OpenReader(out)
	require.NoError(t, err)
	defer z.Close()
	assert.Greater(t, len(z.File), 20)
}
