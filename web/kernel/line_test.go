package kernel

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheMakerGoesBeforeLinksAndLinksTakeTurns(t *testing.T) {
	var l line
	done, err := l.take(t.Context(), "v1")
	require.NoError(t, err)
	var all []*waiter
	for _, asker := range []string{"v1", "v1", "v2", "v1", "", ""} {
		w, err := l.join(asker)
		require.NoError(t, err)
		all = append(all, w)
	}
	var order []int
	done()
	for range all {
		for i, w := range all {
			select {
			case <-w.turn:
				order = append(order, i)
				w.turn = nil
				l.leave(w)
			default:
			}
		}
	}
	assert.Equal(t, []int{4, 5, 0, 2, 1, 3}, order)
	assert.Empty(t, l.of)
	assert.False(t, l.busy)
}

func TestALinkHasOnlySoManyPlacesInTheLine(t *testing.T) {
	var l line
	gone, leave := context.WithCancel(t.Context())
	for range 16 { // more than the six connections that a browser opens to a host (common practice), on two screens
		_, err := l.join("v1")
		require.NoError(t, err)
	}
	_, err := l.take(t.Context(), "v1")
	var p *Problem
	require.ErrorAs(t, err, &p)
	assert.Equal(t, 429, p.Status()) // RFC 6585, 4
	assert.Positive(t, p.Wait)
	for range 40 {
		_, err := l.join("")
		require.NoError(t, err, "the maker has no such limit")
	}
	leave()
	_, err = l.take(gone, "v2")
	assert.ErrorIs(t, err, context.Canceled)
	assert.NotContains(t, l.of, "v2", "who has gone leaves its place")
}
