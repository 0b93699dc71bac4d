package web

import (
	"context"
	"encoding/json"
	"net/http"

	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
)

// state sends the whole figure as it stands, for the editor.
func (s *Server) state(w http.ResponseWriter, r *http.Request) error {
	a, who := accessOf(r), person(w, r)
	var data []byte
	err := s.cfg.Store.Look(r.Context(), a.design, func(n store.Now) error {
		state := wire.StateOf(n, s.totals(n))
		state.Power = a.power
		var err error
		if state.History, err = s.past(n, who); err != nil {
			return err
		}
		data, err = json.Marshal(state)
		return err
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	_, _ = w.Write(data) // the reader may be gone; nothing is left to do then
	return nil
}

// totalsOf counts units and sheets.
func totalsOf(n store.Now) report.Totals {
	settings, _ := settingsOf(n)
	return report.TotalsOf(context.Background(), n.Figure, settings)
}

// lastTotals are the totals of a design as its last step told them.
type lastTotals struct {
	rev      int64
	raw      string // the settings as they are stored
	settings report.Settings
	totals   report.Totals
}

// lastTold are the totals that a design's last step told, if any.
func (s *Server) lastTold(design string) lastTotals {
	known, _ := s.told.Load(design)
	last, _ := known.(lastTotals)
	return last
}

// totals are the totals of a design, counted only when its last step has not told them already.
func (s *Server) totals(n store.Now) report.Totals {
	last := s.lastTold(n.ID)
	if last.rev > 0 && last.rev == n.Rev && last.raw == string(n.Settings) {
		return last.totals
	}
	return totalsOf(n)
}

// settingsNow are the report's settings of a design, read only when they are others than at its last step.
func (s *Server) settingsNow(n store.Now) report.Settings {
	if last := s.lastTold(n.ID); last.rev > 0 && last.raw == string(n.Settings) {
		return last.settings
	}
	settings, _ := settingsOf(n)
	return settings
}

// past is what a person can take back and do again.
func (s *Server) past(n store.Now, who string) (p wire.Past, err error) {
	p.CanUndo, p.CanRedo, err = s.cfg.Store.CanTakeBack(n, who)
	return p, err
}
