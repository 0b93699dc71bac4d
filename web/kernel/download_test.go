package kernel

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFileNames(t *testing.T) {
	for title, want := range map[string]string{
		"Harbour lighthouse": "Harbour-lighthouse",
		"../../etc/passwd":   "etc-passwd",
		"مَنارة":             "مَنارة",
		"🐧":                  "figure",
		`a"b` + "\r\nc":      "a-b-c",
	} {
		assert.Equal(t, want, FileName(title))
	}
	assert.Len(t, FileName(strings.Repeat("x", 200)), maxFileName)
}
