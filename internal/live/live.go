// Package live tells everybody who has a design open what happens to it: the steps in the order of their
// revisions, and who else is there. It keeps nothing on the disk; who comes too late or listens too slowly
// is told to fetch the whole state anew (a resync), which is always right.
package live

import (
	"sync"
	"time"
)

// Limits of what is kept in memory for one design and for one watcher.
const (
	keepEvents = 512     // latest steps kept for those who come back
	keepBytes  = 2 << 20 // and their bytes
	queueMax   = 512     // steps waiting for a slow watcher
	queueBytes = 4 << 20
)

// Times after which what nobody asks for goes.
const (
	Away   = 20 * time.Second // a person who does not watch and has not been heard of
	linger = 3 * time.Second  // a person whose page has closed, unless it comes back
	quiet  = 10 * time.Minute // a design that nobody watches
)

// Event is one thing to tell. Rev is a step's revision, 0 for anything else.
type Event struct {
	Name string
	Rev  int64
	Data []byte // JSON
}

// Names of the events.
const (
	Step    = "step"
	People  = "people"
	Resync  = "resync"
	History = "history"
	Totals  = "totals"
)

// Hub is where designs are watched.
type Hub struct {
	mu     sync.Mutex
	topics map[string]*topic
}

// NewHub makes a hub that nobody watches yet.
func NewHub() *Hub { return &Hub{topics: map[string]*topic{}} }

// page is an open page of a person. Two people's pages are two, even of one client.
type page struct{ person, client string }

// topic is one design with its watchers.
type topic struct {
	recent   []Event // consecutive revisions
	bytes    int
	watchers map[*Watcher]bool
	people   map[page]*Person
	list     []byte // of the people as JSON, nil when they have changed since it was made
	telling  bool   // the people are told again soon
	toldAt   time.Time
	used     time.Time
}

func (h *Hub) topic(design string) *topic {
	t, ok := h.topics[design]
	if !ok {
		t = &topic{watchers: map[*Watcher]bool{}, people: map[page]*Person{}}
		h.topics[design] = t
	}
	t.used = time.Now()
	return t
}

// Publish tells a design's watchers of a step. Steps must come in the order of their revisions.
func (h *Hub) Publish(design string, e Event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	t := h.topic(design)
	if n := len(t.recent); n > 0 && t.recent[n-1].Rev+1 != e.Rev {
		t.recent, t.bytes = nil, 0
	}
	t.recent = append(t.recent, e)
	t.bytes += len(e.Data)
	for len(t.recent) > 1 && (len(t.recent) > keepEvents || t.bytes > keepBytes) {
		t.bytes -= len(t.recent[0].Data)
		t.recent = t.recent[1:]
	}
	for w := range t.watchers {
		w.put(e)
	}
}

// Tell tells some of a design's watchers something that is only for them.
func (h *Hub) Tell(design string, e Event, whom func(client, person string) bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	t, ok := h.topics[design]
	if !ok {
		return
	}
	for w := range t.watchers {
		if whom(w.page.client, w.page.person) {
			w.put(e)
		}
	}
}

// Watcher is one open page that listens.
type Watcher struct {
	hub    *Hub
	design string
	page   page
	link   string        // the token that it came by, empty for the maker
	ready  chan struct{} // holds one token while something waits
	ended  chan struct{} // closed when its link opens nothing any more

	mu     sync.Mutex
	queue  []Event
	bytes  int
	people bool // the latest list has not been told
	resync bool
}

// Join begins to watch a design whose present revision is now, for somebody who knows all steps up to since.
// No step may be published while Join runs. The steps in between wait in the watcher, or a resync does when
// they are not at hand any more. client may be empty; link is the token that the watcher came by, empty for
// the maker. The error is ErrFull when as many watch already as may.
func (h *Hub) Join(design string, since, now int64, client, person, link string) (*Watcher, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	t := h.topic(design)
	if !t.roomToWatch(link) {
		return nil, ErrFull
	}
	w := &Watcher{hub: h, design: design, page: page{person, client}, link: link, ready: make(chan struct{}, 1), ended: make(chan struct{})}
	t.watchers[w] = true
	switch missed, ok := t.after(since, now); {
	case !ok:
		w.lag()
	default:
		for _, e := range missed {
			w.put(e)
		}
	}
	if len(t.people) > 0 {
		w.putPeople()
	}
	return w, nil
}

// after gives the steps after a revision up to the present one; ok is false when some are not at hand.
func (t *topic) after(since, now int64) (missed []Event, ok bool) {
	if since == now {
		return nil, true
	}
	n := len(t.recent)
	if since > now || n == 0 || t.recent[0].Rev > since+1 || t.recent[n-1].Rev != now {
		return nil, false
	}
	return t.recent[since+1-t.recent[0].Rev:], true
}

// Leave ends the watching. The client's person is gone soon, unless the page comes back.
func (w *Watcher) Leave() {
	w.hub.mu.Lock()
	defer w.hub.mu.Unlock()
	t, ok := w.hub.topics[w.design]
	if !ok {
		return
	}
	delete(t.watchers, w)
	if p, there := t.people[w.page]; there {
		p.heard = time.Now().Add(linger - Away)
	}
}

// End ends all watching of a design by a link, at once.
func (h *Hub) End(design, link string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	t, ok := h.topics[design]
	if !ok || link == "" {
		return
	}
	for w := range t.watchers {
		if w.link == link {
			delete(t.watchers, w)
			close(w.ended)
		}
	}
}

// Ended is closed when the watcher's link was turned off: nothing more may be told to it.
func (w *Watcher) Ended() <-chan struct{} { return w.ended }

// Ready has a token when there is something to Take.
func (w *Watcher) Ready() <-chan struct{} { return w.ready }

// Take gives what waits: steps in the order of revisions, a resync in the place of lost ones, and the
// people, as they are now, last.
func (w *Watcher) Take() []Event {
	out, people := w.take()
	if list := w.hub.peopleOf(w.design); people && list != nil {
		out = append(out, Event{Name: People, Data: list})
	}
	return out
}

func (w *Watcher) take() (out []Event, people bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	out, people = w.queue, w.people
	if w.resync {
		out = append([]Event{{Name: Resync, Data: []byte("{}")}}, out...)
	}
	w.queue, w.bytes, w.people, w.resync = nil, 0, false, false
	return out, people
}

func (w *Watcher) put(e Event) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.queue = append(w.queue, e)
	w.bytes += len(e.Data)
	if len(w.queue) > queueMax || w.bytes > queueBytes {
		w.queue, w.bytes, w.resync = nil, 0, true
	}
	w.wake()
}

func (w *Watcher) lag() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.resync = true
	w.wake()
}

func (w *Watcher) putPeople() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.people = true
	w.wake()
}

func (w *Watcher) wake() {
	select {
	case w.ready <- struct{}{}:
	default:
	}
}
