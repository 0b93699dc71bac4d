package webtest

import (
	"bytes"
	"log/slog"
	"sync"
)

// Diary is a log that a test reads.
type Diary struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (d *Diary) Write(b []byte) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.Write(b)
}

func (d *Diary) String() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.String()
}

func (d *Diary) Log(level slog.Level) *slog.Logger {
	return slog.New(slog.NewTextHandler(d, &slog.HandlerOptions{Level: level}))
}
