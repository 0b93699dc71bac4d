package pattern

import (
	"net/http"

	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// others lists the other figures of the shelf, the latest first: any of them can be set on this one as a part.
func (s *room) others(w http.ResponseWriter, r *http.Request) error {
	designs, err := s.Store.List(r.Context(), false)
	if err != nil {
		return err
	}
	out := make([]wire.OnShelf, 0, len(designs))
	for _, d := range designs {
		if d.ID != kernel.AccessOf(r).Design {
			out = append(out, wire.OnShelf{ID: d.ID, Title: d.Title})
		}
	}
	kernel.WriteJSON(w, http.StatusOK, out)
	return nil
}

// rings sends the rings of the part of a figure that stands on the table, for another figure to take.
func (s *room) rings(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	kernel.WriteJSON(w, http.StatusOK, wire.RingsOf(p.Figure))
	return nil
}
