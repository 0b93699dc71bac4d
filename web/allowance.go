package web

import (
	"math"
	"net/http"
	"strconv"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/store"
)

// What a link may ask of the machine, whoever has it: work as figure.Work counts it, some million of which take a
// second (store.maxWork), and word of where hands are. The maker's own machine has no such limit. Eight people who
// draw as fast as they can, and fill 100 000 units each second, stay below (TestOrdinaryPaintingIsNeverHeldUp).
var (
	workLimit = limit{perSecond: 1_000_000, most: 30_000_000}
	handLimit = limit{perSecond: 600, most: 1200}
)

// What a step and the bytes of a request take beside the work of the edit, in the same measure.
const (
	stepWork = 500
	byteWork = 1.0 / 16
)

// limit is how much may be taken from an allowance: so much a second, and so much at once after a rest.
type limit struct{ perSecond, most float64 }

// allowance is what is left to each of several askers. The zero value with a limit is ready for use.
type allowance struct {
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
func (a *allowance) wait(asker string, now time.Time) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	l := a.left(asker, now)
	if l.amount >= 1 {
		return 0
	}
	return time.Duration((1 - l.amount) / a.limit.perSecond * float64(time.Second))
}

// take notes what an asker has taken.
func (a *allowance) take(asker string, amount float64, now time.Time) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.left(asker, now).amount -= amount
}

func (a *allowance) left(asker string, now time.Time) *left {
	l, known := a.of[asker]
	if !known {
		a.forget(now)
		l = &left{a.limit.most, now, make(chan struct{}, atOnce)}
		a.of[asker] = l
	}
	a.refill(l, now)
	return l
}

func (a *allowance) refill(l *left, now time.Time) {
	since := max(0, now.Sub(l.at).Seconds()) // a clock that was put back gives nothing and takes nothing
	l.amount, l.at = min(a.limit.most, l.amount+since*a.limit.perSecond), now
}

// forget makes room where many askers are known.
func (a *allowance) forget(now time.Time) {
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

// check refuses a request by a link that has taken too much of late.
func (a *allowance) check(r *http.Request) error {
	link := chi.URLParam(r, "token")
	if link == "" {
		return nil
	}
	if wait := a.wait(link, time.Now()); wait > 0 {
		return tooMuch(wait)
	}
	return nil
}

// begin waits for a request's turn among those of its link, and checks it. done is to be told what the request took.
func (a *allowance) begin(r *http.Request) (done func(amount float64), err error) {
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
	if err := a.check(r); err != nil {
		<-turns
		return nil, err
	}
	return func(amount float64) {
		a.take(link, amount, time.Now())
		<-turns
	}, nil
}

func (a *allowance) turns(asker string) chan struct{} {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.left(asker, time.Now()).turns
}

// tooMuch is the refusal of who has to wait (RFC 6585, 4).
func tooMuch(wait time.Duration) *Problem {
	seconds := int(math.Ceil(wait.Seconds()))
	p := problem(CodeTooMuch, "too_much", "Count", seconds)
	p.Wait = seconds
	return p
}

// crowd is the refusal of who would watch a figure that as many watch already as may.
func crowd() *Problem {
	p := problem(CodeTooMuch, "crowd")
	p.Wait = 10
	return p
}

// workOf is what some steps and their answers took.
func workOf(r *http.Request, answers []store.Answer) float64 {
	sum := float64(max(r.ContentLength, 0)) * byteWork
	for _, a := range answers {
		sum += stepWork + float64(a.Work)
	}
	return sum
}

func retryAfter(h http.Header, seconds int) {
	if seconds > 0 {
		h.Set("Retry-After", strconv.Itoa(seconds))
	}
}
