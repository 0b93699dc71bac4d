package kernel

import (
	"net/http"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/store"
	"tuckring/internal/wire"
)

// What a link may ask of the machine, whoever has it: work as figure.Work counts it, some million of which take a
// second (store.maxWork), and word of where hands are. The maker's own machine has no such limit. Eight people who
// draw as fast as they can, and fill 100 000 units each second, stay below (TestOrdinaryPaintingIsNeverHeldUp).
var (
	workLimit = limit{perSecond: 1_000_000, most: 30_000_000}
	handLimit = limit{perSecond: 600, most: 1200}
)

// What a step, the bytes of a request and the bytes that are kept of a step take beside the work of the edit, in the
// same measure: what a link keeps on the disk grows by 4 MB a second at most.
const (
	stepWork    = 500
	byteWork    = 1.0 / 16
	writtenWork = 1.0 / 4
)

// limit is how much may be taken from an allowance: so much a second, and so much at once after a rest.
type limit struct{ perSecond, most float64 }

// Allowance is what is left to each of several askers. The zero value with a limit is ready for use.
type Allowance struct {
	limit limit
	mu    sync.Mutex
	of    map[string]*left
}

// left is what an asker had left at a time; below zero it has taken more in one go than there was.
type left struct {
	amount float64
	at     time.Time
	turns  chan struct{} // full when so many requests of the asker are being carried out
}

// atOnce is how many requests of one asker are carried out at once: what the others take is known before they begin.
const atOnce = 4

// keepAskers is how many askers are remembered before those are forgotten who have all their allowance.
const keepAskers = 256

// wait is how long an asker has to wait before it may take anything: 0 when it may.
func (a *Allowance) wait(asker string, now time.Time) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	l := a.left(asker, now)
	if l.amount >= 1 {
		return 0
	}
	return time.Duration((1 - l.amount) / a.limit.perSecond * float64(time.Second))
}

// Take notes what an asker has taken.
func (a *Allowance) Take(asker string, amount float64, now time.Time) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.left(asker, now).amount -= amount
}

func (a *Allowance) left(asker string, now time.Time) *left {
	l, known := a.of[asker]
	if !known {
		a.forget(now)
		l = &left{a.limit.most, now, make(chan struct{}, atOnce)}
		a.of[asker] = l
	}
	a.refill(l, now)
	return l
}

func (a *Allowance) refill(l *left, now time.Time) {
	since := max(0, now.Sub(l.at).Seconds()) // a clock that was put back gives nothing and takes nothing
	l.amount, l.at = min(a.limit.most, l.amount+since*a.limit.perSecond), now
}

// forget makes room where many askers are known.
func (a *Allowance) forget(now time.Time) {
	if a.of == nil {
		a.of = map[string]*left{}
	}
	if len(a.of) < keepAskers {
		return
	}
	for asker, l := range a.of {
		if a.refill(l, now); l.amount >= a.limit.most && len(l.turns) == 0 {
			delete(a.of, asker)
		}
	}
}

// Check refuses a request by a link that has taken too much of late.
func (a *Allowance) Check(r *http.Request) error {
	link := chi.URLParam(r, "token")
	if link == "" {
		return nil
	}
	if wait := a.wait(link, time.Now()); wait > 0 {
		return tooMuch(wait)
	}
	return nil
}

// Begin waits for a request's turn among those of its link, and checks it. done is to be told what the request took.
func (a *Allowance) Begin(r *http.Request) (done func(amount float64), err error) {
	link := chi.URLParam(r, "token")
	if link == "" {
		return func(float64) {}, nil
	}
	turns := a.turns(link)
	select {
	case turns <- struct{}{}:
	case <-r.Context().Done():
		return nil, r.Context().Err()
	}
	if err := a.Check(r); err != nil {
		<-turns
		return nil, err
	}
	return func(amount float64) {
		a.Take(link, amount, time.Now())
		<-turns
	}, nil
}

// TakeFor notes what a request took beside Begin: with Check it bounds what is done one at a time.
func (a *Allowance) TakeFor(r *http.Request, work int) {
	if link := chi.URLParam(r, "token"); link != "" {
		a.Take(link, stepWork+float64(max(r.ContentLength, 0))*byteWork+float64(work), time.Now())
	}
}

func (a *Allowance) turns(asker string) chan struct{} {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.left(asker, time.Now()).turns
}

// Crowd is the refusal of who would watch a figure that as many watch already as may.
func Crowd() *Problem {
	p := NewProblem(wire.CodeTooMuch, "crowd")
	p.Wait = 10
	return p
}

// WorkOf is what some steps and their answers took.
func WorkOf(r *http.Request, answers []store.Answer) float64 {
	sum := float64(max(r.ContentLength, 0)) * byteWork
	for _, a := range answers {
		sum += stepWork + float64(a.Work) + float64(a.Written)*writtenWork
	}
	return sum
}
