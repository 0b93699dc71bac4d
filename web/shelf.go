package web

import (
	"context"
	"net/http"
	"strconv"
	"sync"
	"time"

	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
)

// Card is a figure as it stands on the shelf.
type Card struct {
	ID      string
	Title   string
	Units   int
	Rings   int
	Changed words.Text
	Machine string // the time of the last change for machines (RFC 3339)
	Picture string // address of its picture
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
}

// shelf shows the figures, last changed first.
func (s *Server) shelf(w http.ResponseWriter, r *http.Request) error {
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
	page := s.newPage(r, speaker(r).T("web.shelf.title"))
	page.Styles = []string{"shelf"}
	return render(w, r, http.StatusOK, ShelfPage(page, shelf))
}

// putAwayShelf shows the figures that were put away.
func (s *Server) putAwayShelf(w http.ResponseWriter, r *http.Request) error {
	cards, err := s.cards(r.Context(), true)
	if err != nil {
		return err
	}
	page := s.newPage(r, speaker(r).T("web.away.title"))
	page.Styles = []string{"shelf"}
	return render(w, r, http.StatusOK, AwayPage(page, cards))
}

// cards lists the figures on the shelf, or those put away.
func (s *Server) cards(ctx context.Context, away bool) ([]Card, error) {
	designs, err := s.cfg.Store.List(ctx, away)
	if err != nil {
		return nil, err
	}
	cards := make([]Card, len(designs))
	for i, d := range designs {
		counts, err := s.summary(ctx, d)
		if err != nil {
			return nil, err
		}
		cards[i] = Card{
			ID: d.ID, Title: d.Title, Units: counts.units, Rings: counts.rings,
			Changed: when(d.Changed, time.Now()), Machine: d.Changed.Format(time.RFC3339),
			Picture: "/d/" + d.ID + "/picture.svg?rev=" + strconv.FormatInt(d.Rev, 10),
		}
	}
	return cards, nil
}

func (s *Server) summary(ctx context.Context, d store.Design) (summary, error) {
	s.counts.mu.Lock()
	known, ok := s.counts.of[d.ID]
	s.counts.mu.Unlock()
	if ok && known.rev == d.Rev {
		return known, nil
	}
	var fresh summary
	err := s.cfg.Store.Look(ctx, d.ID, func(n store.Now) error {
		fresh = summary{rev: n.Rev, units: report.Count(n.Figure).Total, rings: len(n.Figure.Rings)}
		return nil
	})
	if err != nil {
		return summary{}, err
	}
	s.counts.mu.Lock()
	s.counts.of[d.ID] = fresh
	s.counts.mu.Unlock()
	return fresh, nil
}

// putAway takes a figure off the shelf; the shelf then offers to bring it back.
func (s *Server) putAway(w http.ResponseWriter, r *http.Request) error {
	id := accessOf(r).design
	if err := s.cfg.Store.PutAway(r.Context(), id, true); err != nil {
		return err
	}
	http.Redirect(w, r, "/?away="+id, http.StatusSeeOther)
	return nil
}

// bringBack puts a figure back on the shelf.
func (s *Server) bringBack(w http.ResponseWriter, r *http.Request) error {
	if err := s.cfg.Store.PutAway(r.Context(), accessOf(r).design, false); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
