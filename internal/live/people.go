package live

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"time"

	"tuckring/internal/figure"
)

// Tints is how many tints tell people apart: 0 … Tints−1.
const Tints = 8

// Person is somebody who has a design open, and the unit their hand is on.
type Person struct {
	Client string        `json:"client"`
	Name   string        `json:"name"`
	Tint   int           `json:"tint"`
	Ring   figure.RingID `json:"ring"` // 0 when the hand is on no unit
	Unit   int           `json:"unit"`

	person string
	heard  time.Time
	since  time.Time // when they came
}

// Here says that a person's client has a design open, and where the hand is. All of a person's clients have
// one tint. While the client watches it stays there; otherwise it must say so at least every Away. Where more are
// there than can be shown, who comes later stays unseen until somebody goes.
func (h *Hub) Here(design, client, person, name string, ring figure.RingID, unit int) {
	h.here(design, client, person, name, ring, unit, time.Now())
}

func (h *Hub) here(design, client, person, name string, ring figure.RingID, unit int, now time.Time) {
	h.mu.Lock()
	defer h.mu.Unlock()
	t := h.topic(design)
	at := page{person, client}
	p, there := t.people[at]
	if !there && len(t.people) >= MaxPeople {
		return
	}
	if !there {
		p = &Person{Client: client, Tint: t.tint(person), person: person, since: now}
		t.people[at] = p
	}
	was := *p
	p.Name, p.Ring, p.Unit, p.heard = name, max(ring, 0), max(unit, 0), now
	if !there || was.Name != p.Name || was.Ring != p.Ring || was.Unit != p.Unit {
		h.tellPeople(t, now)
	}
}

// Name is the name that a person goes by in a design, "" when nobody has heard it.
func (h *Hub) Name(design, person string) string {
	h.mu.Lock()
	defer h.mu.Unlock()
	t, ok := h.topics[design]
	if !ok {
		return ""
	}
	for _, p := range t.people {
		if p.person == person && p.Name != "" {
			return p.Name
		}
	}
	return ""
}

// tint is the tint of a person: the one they have, or the one that fewest have.
func (t *topic) tint(person string) int {
	var taken [Tints]int
	for _, p := range t.people {
		if p.person == person {
			return p.Tint
		}
		taken[p.Tint]++
	}
	best := 0
	for i, n := range taken {
		if n < taken[best] {
			best = i
		}
	}
	return best
}

// tellPeople tells a design's watchers, at once or with what changes within peopleEvery, that people came, went or
// moved. The list itself is made when somebody takes it: only the latest is ever told.
func (h *Hub) tellPeople(t *topic, now time.Time) {
	t.list = nil
	switch wait := t.toldAt.Add(peopleEvery).Sub(now); {
	case t.telling:
	case wait > 0 && wait <= peopleEvery:
		t.telling = true
		time.AfterFunc(wait, func() {
			h.mu.Lock()
			defer h.mu.Unlock()
			t.wakeAll(time.Now())
		})
	default:
		t.wakeAll(now)
	}
}

func (t *topic) wakeAll(now time.Time) {
	t.telling, t.toldAt = false, now
	for w := range t.watchers {
		w.putPeople()
	}
}

// peopleOf is everybody who has a design open as JSON, nil when nothing is known of it.
func (h *Hub) peopleOf(design string) []byte {
	h.mu.Lock()
	defer h.mu.Unlock()
	t, ok := h.topics[design]
	if !ok {
		return nil
	}
	if t.list == nil {
		t.list = t.listed()
	}
	return t.list
}

// listed is everybody as JSON, in the order they came.
func (t *topic) listed() []byte {
	all := make([]*Person, 0, len(t.people))
	for _, p := range t.people {
		all = append(all, p)
	}
	slices.SortFunc(all, func(a, b *Person) int {
		return cmp.Or(a.since.Compare(b.since), cmp.Compare(a.Client, b.Client))
	})
	data, err := json.Marshal(all)
	if err != nil {
		panic("live: " + err.Error()) // names and numbers always encode
	}
	return data
}

// Run looks for people who went away without a word, until ctx ends.
func (h *Hub) Run(ctx context.Context) {
	tick := time.NewTicker(Away / 10)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case now := <-tick.C:
			h.sweep(now)
		}
	}
}

// sweep takes off the people that neither watch nor were heard of for Away, and designs that nobody has
// watched for long.
func (h *Hub) sweep(now time.Time) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for design, t := range h.topics {
		watching := map[page]bool{}
		for w := range t.watchers {
			watching[w.page] = true
		}
		before := len(t.people)
		for at, p := range t.people {
			if !watching[at] && now.Sub(p.heard) > Away {
				delete(t.people, at)
			}
		}
		if len(t.people) < before {
			t.list = nil
			t.wakeAll(now)
		}
		if len(t.watchers)+len(t.people) == 0 && now.Sub(t.used) > quiet {
			delete(h.topics, design)
		}
	}
}
