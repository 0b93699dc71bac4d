package document

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/draw"
	"tuckring/web/kernel"
)

// handoutSizes are the papers of the handout, by the part of its address that names them.
var handoutSizes = map[string]draw.PageSize{"a4": draw.A4, "letter": draw.Letter}

// handout sends the handout as PDF, for A4 or Letter: everything that a maker needs to build the figure
// without the app. Whoever may see the figure may have it.
func (s *room) handout(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "paper")
	size, ok := handoutSizes[name]
	if !ok {
		return kernel.NotFound()
	}
	say := kernel.Speaker(r)
	return s.SendKept(w, r, "handout "+name, "application/pdf", ".handout-"+name+".pdf", func(p kernel.Present) ([]byte, error) {
		return draw.Handout(p.Figure, size, say).PDF()
	})
}
