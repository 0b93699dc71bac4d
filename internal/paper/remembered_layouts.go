package paper

import (
	"slices"
	"sync"
)

// question is what a layout answers; short says that the work for weighing all layouts was used up.
type question struct {
	Cutting
	short bool
}

// memory keeps recent layouts, since a page asks for the same few again and again.
type memory struct {
	mu     sync.Mutex
	by     map[question]*Layout
	recent []question
	units  int // of all layouts that are kept
}

// A memory keeps so many layouts, of so many units together (about 200 bytes each).
const (
	remembered      = 64
	rememberedUnits = 2 * MaxPerSheet
)

var recent = memory{by: map[question]*Layout{}}

func (m *memory) get(c question) (*Layout, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	l, ok := m.by[c]
	return l, ok
}

func (m *memory) put(c question, l *Layout) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, ok := m.by[c]; ok {
		return
	}
	m.by[c] = l
	m.recent = append(m.recent, c)
	m.units += l.PerSheet
	for len(m.recent) > remembered || m.units > rememberedUnits {
		m.units -= m.by[m.recent[0]].PerSheet
		delete(m.by, m.recent[0])
		m.recent = slices.Delete(m.recent, 0, 1)
	}
}
