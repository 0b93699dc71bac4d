package live

import (
	"encoding/json"
	"fmt"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// Whoever says again and again where ever new hands are, to readers that do not read: only the latest place of each
// of so many people is kept.
func TestWordOfHandsTakesNoMemory(t *testing.T) {
	h := NewHub()
	var slow []*Watcher
	for i := range 40 {
		slow = append(slow, join(t, h, "tower", 0, 0, fmt.Sprint("page", i), "mira", "link"))
	}
	before := heap()
	for i := range 3000 {
		h.Here("tower", fmt.Sprint("page-number-", i), fmt.Sprint("person", i), "A name of forty characters, to fill room", figure.RingID(i), i)
		h.Here("tower", "page0", "mira", "Mira", figure.RingID(i+1), i)
	}
	assert.LessOrEqual(t, len(h.topics["tower"].people), MaxPeople)
	assert.Less(t, int64(heap())-int64(before), int64(1<<20))
	time.Sleep(2 * peopleEvery)
	for _, w := range slow {
		events := w.Take()
		require.Len(t, events, 1, "one list, however many came before it")
		var list []Person
		require.NoError(t, json.Unmarshal(events[0].Data, &list))
		require.Len(t, list, MaxPeople)
		i := 0
		for list[i].Client != "page0" {
			i++
		}
		assert.Equal(t, figure.RingID(3000), list[i].Ring, "the latest place")
	}
}

func TestWhatChangesQuicklyIsToldTogether(t *testing.T) {
	h := NewHub()
	w := join(t, h, "tower", 0, 0, "a", "mira", "")
	told := 0
	end := time.Now().Add(10 * peopleEvery)
	for i := 1; time.Now().Before(end); i++ {
		h.Here("tower", "b", "jon", "Jon", figure.RingID(i), 0)
		select {
		case <-w.Ready():
			w.Take()
			told++
		default:
		}
	}
	assert.Positive(t, told)
	assert.LessOrEqual(t, told, 12, "once at once, then no more often than every peopleEvery")
}

func TestOnlySoManyWatchAFigure(t *testing.T) {
	h := NewHub()
	var all []*Watcher
	for i := range maxByLink {
		all = append(all, join(t, h, "tower", 0, 0, fmt.Sprint(i), "mira", "one"))
	}
	_, err := h.Join("tower", 0, 0, "late", "mira", "one")
	require.ErrorIs(t, err, ErrFull)
	for i := range MaxWatchers - maxByLink {
		join(t, h, "tower", 0, 0, fmt.Sprint(i), "mira", "two")
	}
	_, err = h.Join("tower", 0, 0, "late", "mira", "three")
	require.ErrorIs(t, err, ErrFull)
	join(t, h, "tower", 0, 0, "own", "maker", "")     // the maker is never kept out by links
	join(t, h, "puffin", 0, 0, "late", "mira", "one") // nor are others of another figure
	all[0].Leave()
	join(t, h, "tower", 0, 0, "late", "mira", "three")
}
