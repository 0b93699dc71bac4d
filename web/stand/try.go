package stand

import (
	"net/http"

	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// try sends how the figure would stand after an edit, in the form of standPlaces, without changing anything: the look ahead
// of the dialogs in which parts are grown and bent. It may do what a step may, and one is worked out at a time.
func (s *room) try(w http.ResponseWriter, r *http.Request) error {
	if err := s.Work.Check(r); err != nil {
		return err
	}
	var asked wire.TryAsk
	if err := kernel.ReadJSON(r, &asked); err != nil {
		return err
	}
	ask := wire.ReadAsk(1, asked.Edit)
	if ask.Faults != nil {
		return ask.Faults
	}
	if ask.Edit == nil {
		return kernel.ProblemAt("edit", "try")
	}
	var out []byte
	err := s.WaitTurn(r, func() error {
		if err := s.Work.Check(r); err != nil { // others of the link came before
			return err
		}
		now, err := s.Present(r)
		if err != nil {
			return err
		}
		_, took, err := store.Try(r.Context(), now.Figure, ask.Edit)
		s.Work.TakeFor(r, took)
		if err == nil {
			out, err = common.Places(now.Figure, shape.Place(now.Figure, now.Gauge()), now.Rev, []words.Text{}, kernel.Speaker(r))
		}
		return err
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	_, _ = w.Write(out) // the reader may be gone; nothing is left to do then
	return nil
}
