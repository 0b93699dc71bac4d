package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func largest(t *testing.T, s *Store) (Design, *figure.Figure) {
	t.Helper()
	f := figure.Tube("Pier", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}}, 1000, 100)
	d, err := s.Create(t.Context(), f)
	require.NoError(t, err)
	_, f, err = s.Get(t.Context(), d.ID)
	require.NoError(t, err)
	return d, f
}

// One request with hundreds of changes of a figure of 100 000 units held it for minutes and took gigabytes. Now it is
// answered in parts, each for as much as a request may do; asked again and again, everything is done once.
func TestARequestDoesOnlySoMuch(t *testing.T) {
	s, err := Open(t.Context(), t.TempDir()+"/tuckring.db")
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	d, f := largest(t, s)
	var asks []Ask
	for i := range 40 {
		asks = append(asks, Ask{Seq: int64(i + 1), Kind: KindEdit, Edit: &figure.SetFront{Front: float64(i%5 + 1)}})
	}
	answers, err := s.Apply(t.Context(), d.ID, Person{ID: "mira"}, "page", asks)
	require.NoError(t, err)
	require.Len(t, answers, 30, "3 000 000 units of work, 100 000 a step")
	rest, err := s.Apply(t.Context(), d.ID, Person{ID: "mira"}, "page", asks)
	require.NoError(t, err)
	require.Len(t, rest, 40, "what was answered before is no work")
	assert.Equal(t, 100_000, answers[29].Work)
	assert.Equal(t, workless(answers)[29], rest[29])
	assert.EqualValues(t, 40, rest[39].Rev)

	heavy := &figure.Batch{}
	for range 40 {
		heavy.Edits = append(heavy.Edits, &figure.SetCount{Rings: []figure.RingID{f.Rings[99].ID}, Units: 999})
	}
	refused, err := s.Apply(t.Context(), d.ID, Person{ID: "mira"}, "page", []Ask{{Seq: 41, Kind: KindEdit, Edit: heavy}})
	require.NoError(t, err)
	require.NotEmpty(t, refused[0].Faults)
	assert.Contains(t, refused[0].Faults.Error(), "too many changes of a figure this large")
}

func TestNoMoreIsDoneForAPageThatHasGone(t *testing.T) {
	s, err := Open(t.Context(), t.TempDir()+"/tuckring.db")
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	d, _ := largest(t, s)
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	asks := []Ask{
		{Seq: 1, Kind: KindEdit, Edit: &figure.SetTitle{Title: "The last stroke before the page was closed"}},
		{Seq: 2, Kind: KindEdit, Edit: &figure.SetTitle{Title: "For nobody"}},
	}
	answers, err := s.Apply(gone, d.ID, Person{ID: "mira"}, "page", asks)
	require.NoError(t, err)
	require.Len(t, answers, 1)
	_, f, err := s.Get(t.Context(), d.ID)
	require.NoError(t, err)
	assert.Equal(t, "The last stroke before the page was closed", f.Title)
	answers, err = s.Apply(t.Context(), d.ID, Person{ID: "mira"}, "page", asks)
	require.NoError(t, err, "the page is back and asks for both")
	assert.EqualValues(t, 2, answers[1].Rev)
}
