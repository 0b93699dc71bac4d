// Package browsers finds the browsers that the tests drive, and knows from which version on the tests hold.
package browsers

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strconv"
)

// Kind is a browser that the tests can drive.
type Kind struct {
	Name   string
	Oldest int      // the tests have been seen to hold from this version on
	names  []string // of its program, in the order they are tried
	debian string   // its package
}

// The browsers of the tests. Older versions than these have not been tried.
var (
	Chromium = Kind{"Chromium", 148, []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}, "chromium"}
	Firefox  = Kind{"Firefox", 140, []string{"firefox-esr", "firefox"}, "firefox-esr"}
)

// Found is a browser of this machine.
type Found struct {
	Kind
	Path    string
	Version string // "148.0.7778.0"
}

// String says what was found, and what the tests are known to hold on.
func (f Found) String() string {
	return fmt.Sprintf("%s %s (%s); the tests hold from version %d on", f.Name, f.Version, f.Path, f.Oldest)
}

// ErrMissing is what Find's error is when the browser is not installed.
var ErrMissing = errors.New("is not installed")

// Find looks for the browser and asks it for its version. It fails where there is none (ErrMissing), where it does
// not tell its version, and where that is older than the tests are known to hold on.
func (k Kind) Find() (Found, error) {
	for _, name := range k.names {
		path, err := exec.LookPath(name)
		if err != nil {
			continue
		}
		said, err := exec.Command(path, "--version").Output()
		if err != nil {
			return Found{}, fmt.Errorf("%s does not tell its version: %w", path, err)
		}
		return k.read(path, string(said))
	}
	return Found{}, fmt.Errorf("%s %w; Debian: apt-get install %s", k.Name, ErrMissing, k.debian)
}

var versionForm = regexp.MustCompile(`\b(\d+)\.\d+[.\d]*`)

// read takes the version from what a browser says of itself.
func (k Kind) read(path, said string) (Found, error) {
	version := versionForm.FindStringSubmatch(said)
	if version == nil {
		return Found{}, fmt.Errorf("%s does not tell its version: it says %q", path, said)
	}
	major, err := strconv.Atoi(version[1])
	if err != nil {
		return Found{}, fmt.Errorf("%s does not tell its version: it says %q", path, said)
	}
	if major < k.Oldest {
		return Found{}, fmt.Errorf("%s is %s %s; the tests are known to hold from version %d on", path, k.Name, version[0], k.Oldest)
	}
	return Found{k, path, version[0]}, nil
}

// AllNeeded tells whether every browser has to be there, as the continuous integration wants it (CI=true), and none
// may be left out.
func AllNeeded() bool {
	all, err := strconv.ParseBool(os.Getenv("CI"))
	return err == nil && all
}
