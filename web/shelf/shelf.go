// Package shelf is where a maker's figures stand: the shelf itself (/), what is put away (/away), a
// document to open (/open), and what is done with a figure on the shelf.
package shelf

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"strconv"
	"sync"
	"time"

	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// room answers for the place: the kernel, as its handlers use it, and what it remembers.
type room struct {
	*kernel.App
	counts summaries
}

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app, counts: summaries{of: map[string]summary{}}}
	return kernel.Room{Name: "shelf", Routes: []kernel.Route{
		kernel.Get("/", kernel.NeedsMaker, s.shelf),
		kernel.Get("/away", kernel.NeedsMaker, s.putAwayShelf),
		kernel.Post("/open", kernel.NeedsMaker, s.openDocument),
		kernel.Post(kernel.OfFigure+"/away", kernel.NeedsMaker, s.putAway),
		kernel.Post(kernel.OfFigure+"/back", kernel.NeedsMaker, s.bringBack),
		kernel.Post(kernel.OfFigure+"/go-on", kernel.NeedsMaker, s.goOn),
	}}
}

// Card is a figure as it stands on the shelf.
type Card struct {
	ID      string
	Title   string
	Units   int
	Rings   int
	Parts   int // 0 in a figure of one part
	Changed words.Text
	Machine string // the time of the last change for machines (RFC 3339)
	Picture string // address of its picture

	Damaged *Damage // when it cannot be read; then there are no counts and no picture
}

// Damage is what is left of a figure that cannot be read as it is now.
type Damage struct {
	Readable bool  // whether an earlier version can be read
	Rev      int64 // the last one that can
	Last     int64 // the present one
}

// Shelf is everything the shelf shows.
type Shelf struct {
	Cards   []Card
	Away    int   // figures put away
	JustPut *Card // the one put away a moment ago, to bring back
}

// summaries remembers the counts of figures by their revision, so that the shelf does not read every
// figure anew each time.
type summaries struct {
	mu sync.Mutex
	of map[string]summary
}

type summary struct {
	rev          int64
	units, rings int
	parts        int // 0 in a figure of one part
	damage       *Damage
}

// shelf shows the figures, last changed first.
func (s *room) shelf(w http.ResponseWriter, r *http.Request) error {
	cards, err := s.cards(r.Context(), false)
	if err != nil {
		return err
	}
	away, err := s.cards(r.Context(), true)
	if err != nil {
		return err
	}
	shelf := Shelf{Cards: cards, Away: len(away)}
	for i := range away {
		if away[i].ID == r.URL.Query().Get("away") {
			shelf.JustPut = &away[i]
		}
	}
	page := s.NewPage(r, kernel.Speaker(r).T("web.shelf.title"))
	page.Styles = []string{"shelf"}
	return kernel.Render(w, r, http.StatusOK, ShelfPage(page, shelf))
}

// putAwayShelf shows the figures that were put away.
func (s *room) putAwayShelf(w http.ResponseWriter, r *http.Request) error {
	cards, err := s.cards(r.Context(), true)
	if err != nil {
		return err
	}
	page := s.NewPage(r, kernel.Speaker(r).T("web.away.title"))
	page.Styles = []string{"shelf"}
	return kernel.Render(w, r, http.StatusOK, AwayPage(page, cards))
}

// cards lists the figures on the shelf, or those put away.
func (s *room) cards(ctx context.Context, away bool) ([]Card, error) {
	designs, err := s.Store.List(ctx, away)
	if err != nil {
		return nil, err
	}
	cards := make([]Card, 0, len(designs))
	for _, d := range designs {
		counts, err := s.summary(ctx, d)
		if errors.Is(err, &store.Error{Code: store.NotFound}) {
			continue
		}
		if err != nil {
			return nil, err
		}
		cards = append(cards, Card{
			ID: d.ID, Title: d.Title, Units: counts.units, Rings: counts.rings, Parts: counts.parts,
			Changed: common.When(d.Changed, time.Now()), Machine: d.Changed.Format(time.RFC3339),
			Picture: "/d/" + d.ID + "/picture.svg?rev=" + strconv.FormatInt(d.Rev, 10), Damaged: counts.damage,
		})
	}
	return cards, nil
}

// summary is what the shelf shows of a design. One that cannot be read gets its damage; the error is only of who
// asks having gone, or of the design being gone.
func (s *room) summary(ctx context.Context, d store.Design) (summary, error) {
	s.counts.mu.Lock()
	known, ok := s.counts.of[d.ID]
	s.counts.mu.Unlock()
	if ok && known.rev == d.Rev {
		return known, nil
	}
	fresh, err := s.count(ctx, d)
	if ctx.Err() != nil || errors.Is(err, &store.Error{Code: store.NotFound}) {
		return summary{}, cmp.Or(ctx.Err(), err)
	}
	if err != nil {
		fresh = summary{rev: d.Rev, damage: s.damage(ctx, d, err)}
	}
	if err == nil || errors.Is(err, &store.Error{Code: store.Damaged}) { // other faults, of the disk say, may pass
		s.counts.mu.Lock()
		s.counts.of[d.ID] = fresh
		s.counts.mu.Unlock()
	}
	return fresh, nil
}

// count counts what a design is made of. A panic over it becomes an error: the other figures are to be shown.
func (s *room) count(ctx context.Context, d store.Design) (fresh summary, err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("panic: %v\n%s", v, debug.Stack())
		}
	}()
	err = s.Store.Look(ctx, d.ID, func(n store.Now) error {
		fresh = summary{rev: n.Rev, units: report.Count(n.Figure).Total, rings: len(n.Figure.Rings), parts: len(n.Figure.Parts)}
		return nil
	})
	return fresh, err
}

// damage finds what of a design can still be read, and tells the log why it cannot be read as it is.
func (s *room) damage(ctx context.Context, d store.Design, why error) *Damage {
	about := []any{"design", d.ID, "title", d.Title, "rev", d.Rev, "error", why}
	var refused *store.Error
	if errors.As(why, &refused) && refused.Cause != nil {
		about = append(about, "cause", refused.Cause)
	}
	rev, _, err := s.Store.LastReadable(ctx, d.ID)
	if err == nil {
		about = append(about, "last_readable", rev)
	}
	s.Log.Error("a figure is damaged", about...)
	return &Damage{Readable: err == nil, Rev: rev, Last: d.Rev}
}

// goOn makes a new figure of the last version of a damaged one that can be read.
func (s *room) goOn(w http.ResponseWriter, r *http.Request) error {
	d, err := s.Store.GoOn(r.Context(), kernel.AccessOf(r).Design)
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/d/"+d.ID, http.StatusSeeOther)
	return nil
}

// putAway takes a figure off the shelf; the shelf then offers to bring it back.
func (s *room) putAway(w http.ResponseWriter, r *http.Request) error {
	id := kernel.AccessOf(r).Design
	if err := s.Store.PutAway(r.Context(), id, true); err != nil {
		return err
	}
	http.Redirect(w, r, "/?away="+id, http.StatusSeeOther)
	return nil
}

// bringBack puts a figure back on the shelf.
func (s *room) bringBack(w http.ResponseWriter, r *http.Request) error {
	if err := s.Store.PutAway(r.Context(), kernel.AccessOf(r).Design, false); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
