package live

import (
	"errors"
	"time"
)

// Limits of who watches one design, and of how often the people in it are told. Those who come by links share what
// links may have; the maker's own pages have as much to themselves.
const (
	MaxWatchers = 128 // who come by links
	maxByLink   = 96  // by one of them
	maxOwn      = 64  // the maker's own pages
	MaxPeople   = 64  // shown to each other

	peopleEvery = 40 * time.Millisecond
)

// ErrFull says that as many watch a design as may.
var ErrFull = errors.New("live: too many watch")

// roomToWatch tells whether one more may watch by a link, or without one.
func (t *topic) roomToWatch(link string) bool {
	byAny, same := 0, 0
	for w := range t.watchers {
		if w.link != "" {
			byAny++
		}
		if w.link == link {
			same++
		}
	}
	if link == "" {
		return same < maxOwn
	}
	return same < maxByLink && byAny < MaxWatchers
}
