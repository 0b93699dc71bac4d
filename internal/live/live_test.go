package live

import (
	"encoding/json"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func step(rev int64) Event {
	return Event{Name: Step, Rev: rev, Data: fmt.Appendf(nil, `{"rev":%d}`, rev)}
}

func join(t testing.TB, h *Hub, design string, since, now int64, client, person, link string) *Watcher {
	t.Helper()
	w, err := h.Join(design, since, now, client, person, link)
	require.NoError(t, err)
	return w
}

// revs are the revisions of the steps among some events, and the names of the others.
func told(events []Event) []string {
	out := []string{}
	for _, e := range events {
		if e.Name == Step {
			out = append(out, fmt.Sprint(e.Rev))
		} else {
			out = append(out, e.Name)
		}
	}
	return out
}

func TestWatchersHearStepsInOrder(t *testing.T) {
	h := NewHub()
	a, b := join(t, h, "tower", 0, 0, "a", "mira", ""), join(t, h, "puffin", 0, 0, "b", "mira", "")
	for rev := range int64(3) {
		h.Publish("tower", step(rev+1))
	}
	<-a.Ready()
	assert.Equal(t, []string{"1", "2", "3"}, told(a.Take()))
	assert.Empty(t, a.Take())
	assert.Empty(t, b.Take(), "another design")
	a.Leave()
	h.Publish("tower", step(4))
	assert.Empty(t, a.Take())
}

func TestWhoComesBackHearsWhatWasMissed(t *testing.T) {
	h := NewHub()
	for rev := range int64(2 * keepEvents) {
		h.Publish("tower", step(rev+1))
	}
	last := int64(2 * keepEvents)
	assert.Equal(t, []string{}, told(join(t, h, "tower", last, last, "a", "mira", "").Take()))
	assert.Equal(t, []string{fmt.Sprint(last - 1), fmt.Sprint(last)}, told(join(t, h, "tower", last-2, last, "a", "mira", "").Take()))
	assert.Len(t, join(t, h, "tower", last-keepEvents, last, "a", "mira", "").Take(), keepEvents)
	for _, since := range []int64{last - keepEvents - 1, 0, last + 1} {
		assert.Equal(t, []string{Resync}, told(join(t, h, "tower", since, last, "a", "mira", "").Take()), since)
	}
	assert.Equal(t, []string{Resync}, told(join(t, h, "never seen", 3, 5, "a", "mira", "").Take()), "after a restart nothing is at hand")
	assert.Equal(t, []string{}, told(join(t, h, "never seen", 5, 5, "a", "mira", "").Take()))
}

func TestSlowWatcherIsToldToFetchTheState(t *testing.T) {
	h := NewHub()
	slow := join(t, h, "tower", 0, 0, "a", "mira", "")
	for rev := range int64(queueMax + 3) {
		h.Publish("tower", step(rev+1))
	}
	assert.Equal(t, []string{Resync, fmt.Sprint(queueMax + 2), fmt.Sprint(queueMax + 3)}, told(slow.Take()))
	big := Event{Name: Step, Data: make([]byte, 1+queueBytes/2)}
	for rev := range int64(2) {
		big.Rev = queueMax + 4 + rev
		h.Publish("tower", big)
	}
	assert.Equal(t, []string{Resync}, told(slow.Take()))
}

func TestSomeThingsAreToldToOnePersonOnly(t *testing.T) {
	h := NewHub()
	a, b := join(t, h, "tower", 0, 0, "a", "mira", ""), join(t, h, "tower", 0, 0, "b", "jon", "")
	h.Tell("tower", Event{Name: History}, func(_, person string) bool { return person == "mira" })
	assert.Equal(t, []string{History}, told(a.Take()))
	assert.Empty(t, b.Take())
	assert.Equal(t, []string{}, told(join(t, h, "tower", 0, 0, "c", "mira", "").Take()), "it is no step")
}

func people(t *testing.T, events []Event) (out []Person) {
	t.Helper()
	require.NotEmpty(t, events)
	last := events[len(events)-1]
	require.Equal(t, People, last.Name)
	require.NoError(t, json.Unmarshal(last.Data, &out))
	return out
}

func TestPeopleSeeEachOther(t *testing.T) {
	h := NewHub()
	start := time.Now()
	a := join(t, h, "tower", 0, 0, "a", "mira", "")
	h.here("tower", "a", "mira", "Mira", 17, 3, start)
	h.here("tower", "b", "jon", "Jon", 4, 0, start.Add(time.Second))
	h.here("tower", "a2", "mira", "Mira", 0, 0, start.Add(2*time.Second))
	assert.Equal(t, []Person{{Client: "a", Name: "Mira", Tint: 0, Ring: 17, Unit: 3}, {Client: "b", Name: "Jon", Tint: 1, Ring: 4}, {Client: "a2", Name: "Mira", Tint: 0}},
		people(t, a.Take()))
	h.here("tower", "b", "jon", "Jon", 4, 0, start.Add(3*time.Second))
	assert.Empty(t, a.Take(), "nothing new")
	assert.Equal(t, "Jon", h.Name("tower", "jon"))
	assert.Empty(t, h.Name("tower", "ada"))
	assert.Len(t, people(t, join(t, h, "tower", 0, 0, "c", "ada", "").Take()), 3, "who comes sees who is there")

	h.sweep(start.Add(2*time.Second + Away + time.Millisecond))
	assert.Len(t, people(t, a.Take()), 2, "a watches, and b has been heard of; a2 is away")
	a.Leave()
	a = join(t, h, "tower", 0, 0, "a", "mira", "")
	a.Take()
	h.sweep(time.Now().Add(linger + time.Second))
	assert.Equal(t, "Mira", h.Name("tower", "mira"), "a page that comes back is still there")
	a.Leave()
	h.sweep(time.Now().Add(linger + time.Second))
	assert.Empty(t, h.Name("tower", "mira"))
}

func TestNinthPersonSharesATint(t *testing.T) {
	h := NewHub()
	w := join(t, h, "tower", 0, 0, "w", "w", "")
	for i := range Tints + 1 {
		h.here("tower", fmt.Sprint(i), fmt.Sprint(i), "", 0, 0, time.Now().Add(time.Duration(i)*time.Second))
	}
	var tints []int
	for _, p := range people(t, w.Take()) {
		tints = append(tints, p.Tint)
	}
	assert.Equal(t, []int{0, 1, 2, 3, 4, 5, 6, 7, 0}, tints)
}

func TestDesignsThatNobodyWatchesAreForgotten(t *testing.T) {
	h := NewHub()
	h.Publish("tower", step(1))
	w := join(t, h, "puffin", 0, 0, "a", "mira", "")
	h.sweep(time.Now().Add(quiet + time.Second))
	assert.NotContains(t, h.topics, "tower")
	assert.Contains(t, h.topics, "puffin")
	w.Leave()
	h.sweep(time.Now().Add(quiet + time.Second))
	assert.Empty(t, h.topics)
}

// TestEverybodyHearsEverything: watchers that come, listen and go while steps are published miss none.
func TestEverybodyHearsEverything(t *testing.T) {
	h := NewHub()
	const steps = 3000
	var published sync.RWMutex // as the design's lock in the store: no step while somebody joins
	last := int64(0)
	var all sync.WaitGroup
	for i := range 6 {
		all.Go(func() {
			known := int64(0)
			for known < steps {
				published.RLock()
				w := join(t, h, "tower", known, last, fmt.Sprint(i), "mira", "")
				published.RUnlock()
				for range 1 + i*5 {
					<-w.Ready()
					for _, e := range w.Take() {
						if e.Name == Resync {
							published.RLock()
							known = last // as fetching the state
							published.RUnlock()
							continue
						}
						if e.Rev > known && !assert.Equal(t, known+1, e.Rev) {
							return
						}
						known = max(known, e.Rev)
					}
					if known == steps {
						break
					}
				}
				w.Leave()
			}
		})
	}
	for range steps {
		published.Lock()
		last++
		h.Publish("tower", step(last))
		published.Unlock()
	}
	all.Wait()
}
