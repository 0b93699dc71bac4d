package pattern

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// here takes word of where a person's hand is.
func (s *room) here(w http.ResponseWriter, r *http.Request) error {
	if err := s.Hands.Check(r); err != nil {
		return err
	}
	s.Hands.Take(chi.URLParam(r, "token"), 1, time.Now())
	r.Body = http.MaxBytesReader(w, r.Body, maxHere)
	var at wire.HereAsk
	if err := kernel.ReadJSON(r, &at); err != nil {
		return err
	}
	if err := checkClient(at.Client); err != nil {
		return err
	}
	name, err := checkName(at.Name)
	if err != nil {
		return err
	}
	a := kernel.AccessOf(r)
	if err := s.Store.Look(r.Context(), a.Design, func(store.Now) error { return nil }); err != nil {
		return err
	}
	s.Live.Here(a.Design, at.Client, kernel.Person(w, r), name, at.Ring, at.Unit)
	w.WriteHeader(http.StatusNoContent)
	return nil
}
