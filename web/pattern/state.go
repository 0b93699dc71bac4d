package pattern

import (
	"context"
	"encoding/json"
	"net/http"
	"sync"

	"tuckring/internal/live"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// state sends the whole figure as it stands, for the editor.
func (s *room) state(w http.ResponseWriter, r *http.Request) error {
	a, who := kernel.AccessOf(r), kernel.Person(w, r)
	var state wire.State
	var totals func() report.Totals
	err := s.Store.Look(r.Context(), a.Design, func(n store.Now) (err error) {
		totals = s.totals(n)
		state = wire.StateOf(n, report.Totals{})
		state.History, err = s.past(n, who)
		return err
	})
	if err != nil {
		return err
	}
	state.Power, state.Totals = a.Power, totals()
	data, err := json.Marshal(state)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	_, _ = w.Write(data) // the reader may be gone; nothing is left to do then
	return nil
}

// TotalsOf counts units and sheets.
func TotalsOf(n store.Now) report.Totals {
	settings, _ := kernel.SettingsOf(n)
	return report.TotalsOf(context.Background(), n.Figure, settings)
}

// stepTotals are the totals of a design as its last step told them.
type stepTotals struct {
	rev      int64
	settings string // as they are stored
	totals   report.Totals
}

// lastTotals are the totals that a design's last step told, if any.
func (s *room) lastTotals(design string) stepTotals {
	known, _ := s.last.Load(design)
	last, _ := known.(stepTotals)
	return last
}

// totals are the totals of a design as it stands, to be asked for once the design has been let go of: they may take
// a search.
func (s *room) totals(n store.Now) func() report.Totals {
	if totals, known := s.totalsAtOnce(n); known {
		return func() report.Totals { return totals }
	}
	n.Figure = n.Figure.Clone()
	return func() report.Totals { return s.reckon(n) }
}

// totalsAtOnce are the totals of a design where its last step told them, or where nothing has to be searched for.
func (s *room) totalsAtOnce(n store.Now) (totals report.Totals, known bool) {
	last := s.lastTotals(n.ID)
	if last.rev > 0 && last.rev == n.Rev && last.settings == string(n.Settings) {
		return last.totals, true
	}
	settings, _ := kernel.SettingsOf(n)
	return report.TotalsAtOnce(context.Background(), n.Figure, settings)
}

// tellTotals counts the totals of a design as it stands and tells them to everybody who watches.
func (s *room) tellTotals(design string) {
	var rev int64
	var totals func() report.Totals
	err := s.Store.Look(context.Background(), design, func(n store.Now) error {
		rev, totals = n.Rev, s.totals(n)
		return nil
	})
	if err != nil {
		s.Log.Debug("totals cannot be counted", "design", design, "error", err) // it was put away, or the app stops
		return
	}
	data, err := json.Marshal(wire.ToldTotals{Rev: rev, Totals: totals()})
	if err != nil {
		s.Log.Error("totals cannot be told", "design", design, "error", err)
		return
	}
	s.Live.Tell(design, live.Event{Name: live.Totals, Data: data}, func(_, _ string) bool { return true })
}

// counter does something for designs, for each of them once at a time and once more when it was asked for meanwhile.
type counter struct {
	mu   sync.Mutex
	busy map[string]bool // and whether it was asked for again
}

// later does what for a design, soon.
func (c *counter) later(design string, what func(design string)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, busy := c.busy[design]; busy {
		c.busy[design] = true
		return
	}
	if c.busy == nil {
		c.busy = map[string]bool{}
	}
	c.busy[design] = false
	go func() {
		for again := true; again; {
			what(design)
			again = c.over(design)
		}
	}()
}

// over ends a round for a design, unless it was asked for again.
func (c *counter) over(design string) (again bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	again = c.busy[design]
	if c.busy[design] = false; !again {
		delete(c.busy, design)
	}
	return again
}

// past is what a person can take back and do again.
func (s *room) past(n store.Now, who string) (p wire.History, err error) {
	p.CanUndo, p.CanRedo, err = s.Store.CanTakeBack(n, who)
	return p, err
}
