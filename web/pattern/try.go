package pattern

import (
	"net/http"

	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// try tells what an edit would change, without changing anything: the look ahead of the editor. It may do what a step
// may, one of them is worked out at a time, and none for who has gone.
func (s *room) try(w http.ResponseWriter, r *http.Request) error {
	if err := s.Work.Check(r); err != nil {
		return err
	}
	var asked wire.TryAsk
	if err := kernel.ReadJSON(r, &asked); err != nil {
		return err
	}
	ask := wire.ReadAsk(1, asked.Edit)
	if ask.Faults == nil && ask.Edit == nil {
		return kernel.ProblemAt("edit", "try")
	}
	var out wire.Trial
	err := s.WaitTurn(r, func() (err error) {
		if err = s.Work.Check(r); err == nil { // others of the link came before
			out, err = s.trial(r, ask)
		}
		return err
	})
	if err != nil {
		return err
	}
	kernel.WriteJSON(w, http.StatusOK, out)
	return nil
}

// trial works out what an ask would change of the figure as it is now.
func (s *room) trial(r *http.Request, ask store.Ask) (wire.Trial, error) {
	say := kernel.Speaker(r)
	now, err := s.Present(r)
	if err != nil {
		return wire.Trial{}, err
	}
	out := wire.Trial{Rev: now.Rev}
	if ask.Faults != nil {
		out.Refused = wire.RefusalOf(say, ask.Faults)
		return out, nil
	}
	change, took, err := store.Try(r.Context(), now.Figure, ask.Edit)
	s.Work.TakeFor(r, took)
	if err != nil {
		faults, err := kernel.FaultsOf(err)
		if err == nil {
			out.Refused = wire.RefusalOf(say, faults)
		}
		return out, err
	}
	told, totals := wire.ChangeOf(now.Figure, change), report.TotalsOf(r.Context(), now.Figure, now.Settings)
	if err := r.Context().Err(); err != nil {
		return out, err // totals of a search that was broken off
	}
	out.Change, out.Totals = &told, &totals
	for _, remark := range change.Remarks {
		out.Remarks = append(out.Remarks, say.Say(remark))
	}
	return out, nil
}
