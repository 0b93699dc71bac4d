package web

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"tuckring/internal/words"
)

// TestMain fails when a page said a sentence that the catalogue lacks or was not given whole.
func TestMain(m *testing.M) {
	code := m.Run()
	if flaws := words.Flaws(); len(flaws) > 0 {
		fmt.Fprintln(os.Stderr, "sentences that could not be said as meant:", strings.Join(flaws, "; "))
		code = max(code, 1)
	}
	os.Exit(code)
}
