// Package webtest is what the tests of the rooms share: the whole app over a database of its own, requests as browsers and
// editors send them, figures on the shelf.
package webtest

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckring/internal/words"
)

// Main runs a package's tests, and fails when a page said a sentence that the catalogue lacks or was not given whole.
func Main(m *testing.M) {
	code := m.Run()
	if flaws := words.Flaws(); len(flaws) > 0 {
		fmt.Fprintln(os.Stderr, "sentences that could not be said as meant:", strings.Join(flaws, "; "))
		code = max(code, 1)
	}
	os.Exit(code)
}

// Repo is the path of a file of the repository.
func Repo(name string) string {
	for dir := "."; ; dir = filepath.Join("..", dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(dir, name)
		}
	}
}
