package kernel

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOurOwnFaultIsStillLoggedAndOnce(t *testing.T) {
	var told bytes.Buffer
	s := New(Config{Log: slog.New(slog.NewTextHandler(&told, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	w := httptest.NewRecorder()
	s.fail(w, httptest.NewRequest("GET", "/", nil), errors.New("a fault of ours"))
	assert.Equal(t, 500, w.Code)
	assert.Equal(t, 1, strings.Count(told.String(), "level=ERROR"))
	assert.Contains(t, told.String(), "a fault of ours")
	gone, leave := context.WithCancel(context.Background())
	leave()
	s.fail(httptest.NewRecorder(), httptest.NewRequest("GET", "/", nil).WithContext(gone), errors.New("another fault of ours"))
	assert.Equal(t, 2, strings.Count(told.String(), "level=ERROR"), "though nobody waits for the answer")
}
