package kernel

import (
	"context"
	"errors"
	"math"
	"mime/multipart"
	"net/http"
	"strconv"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
)

// tooMuch is the refusal of who has to wait (RFC 6585, 4).
func tooMuch(wait time.Duration) *Problem {
	seconds := int(math.Ceil(wait.Seconds()))
	p := NewProblem(wire.CodeTooMuch, "too_much", "Count", seconds)
	p.Wait = seconds
	return p
}

func retryAfter(h http.Header, seconds int) {
	if seconds > 0 {
		h.Set("Retry-After", strconv.Itoa(seconds))
	}
}

// FaultsOf gives the faults that an edit was refused with, or the error when it is of another kind.
func FaultsOf(err error) (figure.Faults, error) {
	var faults figure.Faults
	if errors.As(err, &faults) {
		return faults, nil
	}
	return nil, err
}

// CutShort tells a body that is too long from one that broke off on its way.
func CutShort(err error) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	if errors.Is(err, multipart.ErrMessageTooLarge) {
		return NewProblem(wire.CodeTooLarge, "too_large", "Limit", MaxBody>>20)
	}
	return NewProblem(wire.CodeInvalid, "cut_short")
}

// ProblemAt is a problem with one field of what was sent.
func ProblemAt(where, name string, pairs ...any) *Problem {
	p := NewProblem(wire.CodeInvalid, name, pairs...)
	p.Where = where
	return p
}

var statusOf = map[wire.Code]int{
	wire.CodeInvalid:     http.StatusBadRequest,
	wire.CodeRefused:     http.StatusUnprocessableEntity,
	wire.CodeForbidden:   http.StatusForbidden,
	wire.CodeNotFound:    http.StatusNotFound,
	wire.CodeMethod:      http.StatusMethodNotAllowed,
	wire.CodeConflict:    http.StatusConflict,
	wire.CodeTooLarge:    http.StatusRequestEntityTooLarge,
	wire.CodeTooMuch:     http.StatusTooManyRequests, // RFC 6585, 4
	wire.CodeHost:        http.StatusMisdirectedRequest,
	wire.CodeCrossOrigin: http.StatusForbidden,
	wire.CodeFull:        http.StatusInsufficientStorage, // RFC 4918, 11.5
	wire.CodeUnwritable:  http.StatusInternalServerError,
	wire.CodeDamaged:     http.StatusInternalServerError,
	wire.CodeStopped:     http.StatusServiceUnavailable,
	wire.CodeInternal:    http.StatusInternalServerError,
}

// Problem is the one error of this package: a code for programs, and for people a title, what is
// wrong and what would be right. Where names the place, when there is one; Faults lists the faults
// of a refused document; Expected is the number of the step that comes next, when steps came out of turn.
type Problem struct {
	Code     wire.Code
	Title    words.Text
	What     words.Text
	Fix      words.Text
	Where    string
	Faults   figure.Faults
	Expected int64
	Wait     int // seconds after which it may be tried again, 0 for any time
}

func (p *Problem) Error() string { return string(p.Code) + ": " + p.What.String() }

// Status is the HTTP status of the problem.
func (p *Problem) Status() int { return statusOf[p.Code] }

// NewProblem makes a Problem whose sentences are problem.NAME.title, .what and .fix of the catalogue,
// with the given values.
func NewProblem(code wire.Code, name string, pairs ...any) *Problem {
	key := "web.problem." + name
	return &Problem{Code: code, Title: words.T(key + ".title"), What: words.T(key+".what", pairs...), Fix: words.T(key+".fix", pairs...)}
}

func NotFound() *Problem { return NewProblem(wire.CodeNotFound, "not_found") }

func methodNotAllowed(method string) *Problem {
	return NewProblem(wire.CodeMethod, "method", "Method", method)
}

// ProblemFrom finds the Problem in an error, or makes one: the one place where other packages'
// errors get their status. What it does not know is our own fault, and its details stay in the log.
func ProblemFrom(err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return NewProblem(wire.CodeTooLarge, "too_large", "Limit", tooLarge.Limit>>20)
	}
	var refused *store.Error
	if errors.As(err, &refused) {
		return fromStore(refused)
	}
	var faults figure.Faults
	if errors.As(err, &faults) {
		p := NewProblem(wire.CodeRefused, "document", "Count", faults.Count())
		p.Faults = faults
		return p
	}
	return NewProblem(wire.CodeInternal, "internal")
}

// fromStore puts a refusal of the store under its status; the store's own sentences say what is wrong, unless they
// name a file: that is for the log, since guests read this too.
func fromStore(e *store.Error) *Problem {
	switch e.Code {
	case store.NotFound:
		return &Problem{Code: wire.CodeNotFound, Title: words.T("web.problem.not_found.title"), What: e.What, Fix: e.Fix}
	case store.Conflict:
		return &Problem{Code: wire.CodeConflict, Title: words.T("web.problem.conflict.title"), What: e.What, Fix: e.Fix, Expected: e.Expected}
	case store.Damaged:
		return &Problem{Code: wire.CodeDamaged, Title: words.T("web.problem.damaged.title"), What: e.What, Fix: e.Fix}
	case store.Full:
		return NewProblem(wire.CodeFull, "full")
	case store.Unwritable, store.InUse:
		return NewProblem(wire.CodeUnwritable, "unwritable")
	}
	return NewProblem(wire.CodeInternal, "internal")
}

// fail answers a request with its problem: JSON for a program, a page for a person.
func (s *App) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := ProblemFrom(err)
	if large := s.bodies[r.URL.Path].Large; large != nil && p.Code == wire.CodeTooLarge {
		p = large
	}
	if stopped(r, err) {
		p = NewProblem(wire.CodeStopped, "stopped")
	}
	s.logProblem(r, p, err)
	retryAfter(w.Header(), p.Wait)
	if p.Code == wire.CodeStopped { // as a rule nobody hears it; a page would not be made for who has gone
		http.Error(w, Speaker(r).Say(p.What), p.Status())
		return
	}
	if wantsJSON(r) {
		WriteJSON(w, p.Status(), p.refusal(Speaker(r)))
		return
	}
	page := s.NewPage(r, Speaker(r).Say(p.Title))
	err = Render(w, r, p.Status(), ProblemPage(page, p))
	if err == nil {
		return
	}
	if !stopped(r, err) {
		s.Log.Error("problem page failed", "error", err)
	}
	http.Error(w, p.What.String(), p.Status())
}

// stopped tells that a request failed only because its asker went away, or because the app stops.
func stopped(r *http.Request, err error) bool {
	gone := r.Context().Err()
	return gone != nil && (errors.Is(err, gone) || errors.Is(err, context.Canceled))
}

// logProblem tells in the log, once, of what is not the asker's doing, with its cause.
func (s *App) logProblem(r *http.Request, p *Problem, err error) {
	if p.Status() < http.StatusInternalServerError {
		return
	}
	about := []any{"method", r.Method, "path", r.URL.Path, "error", err}
	var refused *store.Error
	if errors.As(err, &refused) && refused.Cause != nil {
		about = append(about, "cause", refused.Cause)
	}
	if p.Code == wire.CodeStopped {
		s.Log.Debug("nobody waits for the answer any more", about...)
		return
	}
	s.Log.Error("request failed", about...)
}

// refusal is the problem as programs get it.
func (p *Problem) refusal(say *words.Speaker) wire.Problem {
	out := wire.Problem{Code: p.Code, What: say.Say(p.What), Fix: say.Say(p.Fix), Where: p.Where, Expected: max(0, p.Expected)}
	if len(p.Faults) > 0 {
		out.Faults = wire.FaultsOf(say, p.Faults)
	}
	return out
}
