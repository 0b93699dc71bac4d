package kernel

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCostlyAnswersAreMadeOneAtATime(t *testing.T) {
	a := newAnswers()
	var busy, most, made atomic.Int64
	var all sync.WaitGroup
	for i := range 24 {
		all.Go(func() {
			body, err := a.get(context.Background(), "", fmt.Sprint(i%8), func() ([]byte, error) {
				most.Store(max(most.Load(), busy.Add(1)))
				defer busy.Add(-1)
				made.Add(1)
				time.Sleep(2 * time.Millisecond)
				return []byte(fmt.Sprint("answer ", i%8)), nil
			})
			assert.NoError(t, err)
			assert.Equal(t, fmt.Sprint("answer ", i%8), string(body))
		})
	}
	all.Wait()
	assert.EqualValues(t, 1, most.Load(), "made at the same time")
	assert.EqualValues(t, 8, made.Load(), "each is made once")
}

func TestKeptAnswersStayWithinTheirRoom(t *testing.T) {
	a := newAnswers()
	for i := range 20 {
		body, err := a.get(context.Background(), "", fmt.Sprint(i), func() ([]byte, error) { return make([]byte, keepAnswer), nil })
		require.NoError(t, err)
		assert.Len(t, body, keepAnswer)
		assert.LessOrEqual(t, a.bytes, keepAnswers)
		assert.Len(t, a.of, a.order.Len())
	}
	_, oldest := a.look("0")
	_, latest := a.look("19")
	assert.False(t, oldest)
	assert.True(t, latest)
	_, err := a.get(context.Background(), "", "huge", func() ([]byte, error) { return make([]byte, keepAnswer+1), nil })
	require.NoError(t, err)
	_, huge := a.look("huge")
	assert.False(t, huge, "too large to be kept")
	gone, cancel := context.WithCancel(context.Background())
	_, err = a.line.take(t.Context(), "")
	require.NoError(t, err)
	cancel()
	_, err = a.get(gone, "", "never", func() ([]byte, error) { return nil, nil })
	assert.ErrorIs(t, err, context.Canceled)
}

// Who shares an answer with somebody who goes away gets it all the same.
func TestAnAnswerIsMadeForWhoStillWaits(t *testing.T) {
	a := newAnswers()
	gone, leave := context.WithCancel(t.Context())
	begun := make(chan struct{})
	var all sync.WaitGroup
	all.Go(func() {
		_, err := a.get(gone, "", "page", func() ([]byte, error) {
			close(begun)
			<-gone.Done()
			time.Sleep(5 * time.Millisecond) // so that the other one waits for this
			return nil, gone.Err()
		})
		assert.ErrorIs(t, err, context.Canceled)
	})
	<-begun
	all.Go(func() {
		body, err := a.get(t.Context(), "", "page", func() ([]byte, error) { return []byte("whole"), nil })
		assert.NoError(t, err)
		assert.Equal(t, "whole", string(body))
	})
	time.Sleep(5 * time.Millisecond)
	leave()
	all.Wait()
}
