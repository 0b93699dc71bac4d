package browsers

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestVersionIsReadFromWhatBrowsersSay(t *testing.T) {
	for said, want := range map[string]string{ // as they said it
		"Chromium 156.0.8078.108 built on Debian GNU/Linux 12 (bookworm)\n": "156.0.8078.108",
		"Chromium 148.0.7778.0 \n":    "148.0.7778.0",
		"Google Chrome 151.0.7922.71": "151.0.7922.71",
	} {
		found, err := Chromium.read("/opt/browser", said)
		require.NoError(t, err, said)
		assert.Equal(t, want, found.Version)
	}
	found, err := Firefox.read("/usr/bin/firefox", "Mozilla Firefox 153.7.0esr\n")
	require.NoError(t, err)
	assert.Equal(t, "153.7.0", found.Version)
	assert.Equal(t, "Firefox 153.7.0 (/usr/bin/firefox); the tests hold from version 140 on", found.String())
}

// put lays a program that says something into a folder of its own, and lets nothing else be found.
func put(t *testing.T, name, says string) {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\necho '"+says+"'\n"), 0o755))
	t.Setenv("PATH", dir)
}

func TestOlderBrowserIsRefusedWithBothVersions(t *testing.T) {
	put(t, "chromium", "Chromium 147.0.7727.50")
	_, err := Chromium.Find()
	require.ErrorContains(t, err, "is Chromium 147.0.7727.50; the tests are known to hold from version 148 on")
	assert.NotErrorIs(t, err, ErrMissing, "it is there, so nothing may be left out for it")
}

func TestProgramThatIsNoBrowserIsRefused(t *testing.T) {
	put(t, "firefox", "the snap is not installed")
	_, err := Firefox.Find()
	require.ErrorContains(t, err, `it says "the snap is not installed\n"`)
	assert.NotErrorIs(t, err, ErrMissing)
}

func TestMissingBrowserIsTold(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	_, err := Firefox.Find()
	require.ErrorIs(t, err, ErrMissing)
	assert.EqualError(t, err, "Firefox is not installed; Debian: apt-get install firefox-esr")
}

func TestContinuousIntegrationNeedsEveryBrowser(t *testing.T) {
	for value, want := range map[string]bool{"true": true, "1": true, "": false, "false": false} {
		t.Setenv("CI", value)
		assert.Equal(t, want, AllNeeded(), "CI=%s", value)
	}
}
