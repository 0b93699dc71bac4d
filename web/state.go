package web

import (
	"encoding/json"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
)

// state sends the whole figure as it stands, for the editor.
func (s *Server) state(w http.ResponseWriter, r *http.Request) error {
	a, who := accessOf(r), person(w, r)
	var data []byte
	err := s.cfg.Store.Look(r.Context(), a.design, func(n store.Now) error {
		state := stateOf(n, s.totals(n))
		state.Power = string(a.power)
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

func stateOf(n store.Now, totals report.Totals) wireState {
	f := n.Figure
	u := figure.Unroll(f)
	state := wireState{
		Rev: n.Rev, Title: f.Title, Unit: wireUnit{f.Unit.LongMM, f.Unit.ShortMM, f.Unit.Fold},
		Front: f.Front, FrontTurn: roundTurn(u.FrontTurn()),
		Colours: coloursOf(f), Rings: make([]wireRing, len(f.Rings)), Extras: extrasOf(f), Totals: totals,
	}
	for i := range f.Rings {
		state.Rings[i] = ringOf(f, u, i)
	}
	return state
}

// totalsOf counts units and sheets. Settings that cannot be read count as the defaults here; the report
// page says what is wrong with them.
func totalsOf(n store.Now) report.Totals {
	settings, err := report.ReadSettings(n.Settings)
	if err != nil {
		settings = report.DefaultSettings()
	}
	return report.TotalsOf(n.Figure, settings)
}

// lastTotals are the totals of a design as its last step told them.
type lastTotals struct {
	rev      int64
	settings string
	totals   report.Totals
}

// totals are the totals of a design, counted only when its last step has not told them already.
func (s *Server) totals(n store.Now) report.Totals {
	if known, ok := s.told.Load(n.ID); ok {
		if last := known.(lastTotals); last.rev == n.Rev && last.settings == string(n.Settings) {
			return last.totals
		}
	}
	return totalsOf(n)
}

// past is what a person can take back and do again.
func (s *Server) past(n store.Now, who string) (p wirePast, err error) {
	p.CanUndo, p.CanRedo, err = s.cfg.Store.CanTakeBack(n, who)
	return p, err
}
