package kernel

import (
	"bytes"
	"container/list"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"sync"
	"time"

	"golang.org/x/sync/singleflight"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// What is kept of answers that are costly to make: so many bytes in all, and no answer of more than a part
// of them.
const (
	keepAnswers = 32 << 20
	keepAnswer  = keepAnswers / 4
)

// answers makes costly answers one at a time, whoever asks, and keeps the latest until the figure
// they show has changed. Who asks for the same while it is being made waits for it.
type answers struct {
	start  string // of the program: what an earlier one made may differ
	making singleflight.Group
	line   line

	mu    sync.Mutex
	of    map[string]*list.Element // of *answerKept
	order *list.List               // asked for last first
	bytes int
}

type answerKept struct {
	tag  string
	body []byte
}

func newAnswers() *answers {
	return &answers{start: time.Now().Format(time.RFC3339Nano), of: map[string]*list.Element{}, order: list.New()}
}

// tag names an answer: the design as it is now, what is asked of it and the reader's language.
func (a *answers) tag(n store.Now, what, language string) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%s\n%d\n%s\n%s\n%s", a.start, n.ID, n.Rev, n.Settings, what, language))
	return hex.EncodeToString(sum[:12])
}

// get gives the answer of a tag, made by maker when it is not kept. Those of one asker wait for it together. Whoever
// waited for one that was given up because its first asker went away makes it.
func (a *answers) get(ctx context.Context, asker, tag string, maker func() ([]byte, error)) ([]byte, error) {
	for {
		if body, ok := a.look(tag); ok {
			return body, nil
		}
		made, err, _ := a.making.Do(asker+" "+tag, func() (any, error) {
			var body []byte
			err := a.inTurn(ctx, asker, func() (err error) {
				if kept, ok := a.look(tag); ok { // another asker had it made
					body = kept
					return nil
				}
				if body, err = maker(); err == nil {
					a.keep(tag, body)
				}
				return err
			})
			return body, err
		})
		if err == nil {
			return made.([]byte), nil
		}
		if ctx.Err() != nil || !errors.Is(err, context.Canceled) {
			return nil, err
		}
	}
}

// inTurn does what is costly when nothing else is being made. It fails as line.take does.
func (a *answers) inTurn(ctx context.Context, asker string, what func() error) error {
	done, err := a.line.take(ctx, asker)
	if err != nil {
		return err
	}
	defer done()
	if ctx.Err() != nil {
		return ctx.Err() // nobody waits for it any more
	}
	return what()
}

func (a *answers) look(tag string) ([]byte, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	e, ok := a.of[tag]
	if !ok {
		return nil, false
	}
	a.order.MoveToFront(e)
	return e.Value.(*answerKept).body, true
}

func (a *answers) keep(tag string, body []byte) {
	if len(body) > keepAnswer {
		return
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if _, there := a.of[tag]; there {
		return
	}
	a.of[tag] = a.order.PushFront(&answerKept{tag, body})
	a.bytes += len(body)
	for a.bytes > keepAnswers {
		last := a.order.Remove(a.order.Back()).(*answerKept)
		delete(a.of, last.tag)
		a.bytes -= len(last.body)
	}
}

// SendKept answers with what maker makes of the present figure, or with 304 when the reader has it already
// (RFC 9110, 13.1.2). what names the answer among all that are made of a figure; the figure is the maker's own.
// With an ending the answer is a file of that ending, named for the figure.
func (s *App) SendKept(w http.ResponseWriter, r *http.Request, what, mediaType, ending string, maker func(Present) ([]byte, error)) error {
	var tag, title string
	var now Present
	err := s.Store.Look(r.Context(), AccessOf(r).Design, func(n store.Now) error {
		title, tag = n.Figure.Title, s.answers.tag(n, what, Speaker(r).Lang())
		now = presentOf(n)
		now.Figure = nil
		if _, kept := s.answers.look(tag); !kept {
			now.Figure = n.Figure.Clone()
		}
		return nil
	})
	if err != nil {
		return err
	}
	body, err := s.answers.get(r.Context(), askerOf(r), tag, func() ([]byte, error) {
		if now.Figure == nil { // it was kept a moment ago
			again, err := s.Present(r)
			if err != nil {
				return nil, err
			}
			now = again
		}
		return maker(now)
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", mediaType)
	if ending != "" {
		w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": FileName(title) + ending}))
	}
	w.Header().Set("ETag", `W/"`+tag+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
	return nil
}

// SendPast answers with what maker makes of the figure as it was at a revision, which never changes, or with 304 when
// the reader has it already. what names it as in SendKept; its language is nobody's.
func (s *App) SendPast(w http.ResponseWriter, r *http.Request, rev int64, what, mediaType string, maker func(*figure.Figure) ([]byte, error)) error {
	design := AccessOf(r).Design
	err := s.Store.Look(r.Context(), design, func(store.Now) error { return nil })
	var refused *store.Error
	if errors.As(err, &refused) && refused.Code == store.Damaged {
		err = nil // what it was may be whole
	}
	if err != nil {
		return err // of one that was deleted nothing is shown that was kept
	}
	tag := s.answers.tag(store.Now{ID: design, Rev: rev}, what+" of the past", "")
	body, err := s.answers.get(r.Context(), askerOf(r), tag, func() ([]byte, error) {
		f, err := s.Store.At(r.Context(), design, rev)
		if err != nil {
			return nil, err
		}
		return maker(f)
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", mediaType)
	w.Header().Set("ETag", `W/"`+tag+`"`)
	w.Header().Set("Cache-Control", "private, max-age=86400")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
	return nil
}
