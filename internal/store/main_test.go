package store

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestMain lets the test binary stand in for another program that has the database.
func TestMain(m *testing.M) {
	if path := os.Getenv("TUCKRING_TEST_LOCKS"); path != "" {
		os.Exit(seeLocks(path))
	}
	os.Exit(m.Run())
}

func testBinary(t testing.TB) string {
	self, err := os.Executable()
	require.NoError(t, err)
	return self
}
