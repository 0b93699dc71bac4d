package kernel

import (
	"context"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"
)

// inLine is how many costly answers of one link may wait or be made: all that a browser asks for at once (six
// connections to a host, common practice) on two screens and more. Who asks for one that is being made takes no place.
const inLine = 16

// lineWait is after how long somebody whose link has no place left may ask again.
const lineWait = 2 * time.Second

// line is where whoever wants something costly waits: one has the turn. The maker goes before links, and a link that
// just had the turn after others. The zero value is ready for use.
type line struct {
	mu      sync.Mutex
	busy    bool
	waiting []*waiter      // as they came
	of      map[string]int // of each link, those that wait or have the turn
	last    string         // link that had the turn last
}

// waiter waits for the turn; an asker is a link's token, "" for the maker.
type waiter struct {
	asker string
	turn  chan struct{} // closed when it is its turn
}

// askerOf is the link that a request came by, "" for the maker.
func askerOf(r *http.Request) string { return chi.URLParam(r, "token") }

// take waits for the turn of an asker, who gives it back by done. It fails with ctx's error when ctx ends first, and
// with a Problem when too many of the link wait already.
func (l *line) take(ctx context.Context, asker string) (done func(), err error) {
	me, err := l.join(asker)
	if err != nil {
		return nil, err
	}
	select {
	case <-me.turn:
	case <-ctx.Done():
		l.leave(me)
		return nil, ctx.Err()
	}
	return func() { l.leave(me) }, nil
}

func (l *line) join(asker string) (*waiter, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if asker != "" {
		if l.of[asker] >= inLine {
			return nil, tooMuch(lineWait)
		}
		if l.of == nil {
			l.of = map[string]int{}
		}
		l.of[asker]++
	}
	me := &waiter{asker, make(chan struct{})}
	l.waiting = append(l.waiting, me)
	l.next()
	return me, nil
}

// leave gives back the turn, or the place of who waits no longer.
func (l *line) leave(me *waiter) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.of[me.asker] > 1 {
		l.of[me.asker]--
	} else {
		delete(l.of, me.asker)
	}
	if i := slices.Index(l.waiting, me); i >= 0 {
		l.waiting = slices.Delete(l.waiting, i, i+1)
		return
	}
	l.busy = false
	l.next()
}

// next gives the turn to whoever comes next, when nobody has it.
func (l *line) next() {
	if l.busy || len(l.waiting) == 0 {
		return
	}
	i := slices.IndexFunc(l.waiting, func(w *waiter) bool { return w.asker == "" })
	if i < 0 {
		i = max(0, slices.IndexFunc(l.waiting, func(w *waiter) bool { return w.asker != l.last }))
	}
	w := l.waiting[i]
	l.waiting = slices.Delete(l.waiting, i, i+1)
	l.busy, l.last = true, w.asker
	close(w.turn)
}
