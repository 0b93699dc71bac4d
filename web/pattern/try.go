package pattern

import (
	"context"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// try tells what an edit would change, without changing anything: the look ahead of the editor.
func (s *room) try(w http.ResponseWriter, r *http.Request) error {
	var asked wire.TryAsk
	if err := kernel.ReadJSON(r, &asked); err != nil {
		return err
	}
	say := kernel.Speaker(r)
	now, err := s.Present(r)
	if err != nil {
		return err
	}
	out := wire.Trial{Rev: now.Rev}
	ask := wire.ReadAsk(1, asked.Edit)
	if ask.Faults == nil && ask.Edit == nil {
		return kernel.ProblemAt("edit", "try")
	}
	faults := ask.Faults
	if faults == nil {
		_, change, err := figure.Apply(now.Figure, ask.Edit)
		if err == nil {
			told, totals := wire.ChangeOf(now.Figure, change), report.TotalsOf(context.Background(), now.Figure, now.Settings)
			out.Change, out.Totals = &told, &totals
			for _, remark := range change.Remarks {
				out.Remarks = append(out.Remarks, say.Say(remark))
			}
		} else if faults, err = kernel.FaultsOf(err); err != nil {
			return err
		}
	}
	if faults != nil {
		out.Refused = wire.RefusalOf(say, faults)
	}
	kernel.WriteJSON(w, http.StatusOK, out)
	return nil
}
