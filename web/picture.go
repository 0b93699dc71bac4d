package web

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// thumbnailMM is the side of the square picture of a figure; a vector picture has no pixels.
const thumbnailMM = 80

// picture is the figure as it stands, in a square.
func (s *Server) picture(w http.ResponseWriter, r *http.Request) error {
	return s.drawn(w, r, func(f *figure.Figure) *draw.Drawing { return draw.Thumbnail(f, thumbnailMM) })
}

// still is the figure as it stands, seen from three quarters: what the 3D page shows where it cannot draw.
func (s *Server) still(w http.ResponseWriter, r *http.Request) error {
	say := speaker(r)
	return s.drawn(w, r, func(f *figure.Figure) *draw.Drawing { return draw.Stand(f, draw.ThreeQuarter, say) })
}

// patternPicture is the unrolled pattern with its ring numbers and signs.
func (s *Server) patternPicture(w http.ResponseWriter, r *http.Request) error {
	say := speaker(r)
	return s.drawn(w, r, func(f *figure.Figure) *draw.Drawing {
		return draw.Pattern(f, draw.PatternOptions{Signs: true, Say: say})
	})
}

// drawn sends a drawing of the present figure. An address that names a revision (?rev=) may be kept for a day:
// the page names another one when the figure has changed.
func (s *Server) drawn(w http.ResponseWriter, r *http.Request, pen func(*figure.Figure) *draw.Drawing) error {
	var f *figure.Figure
	err := s.cfg.Store.Look(r.Context(), accessOf(r).design, func(n store.Now) error {
		f = n.Figure.Clone()
		return nil
	})
	if err != nil {
		return err
	}
	svg, err := pen(f).Encode(draw.SVG, 0)
	if err != nil {
		return err
	}
	if r.URL.Query().Has("rev") {
		w.Header().Set("Cache-Control", "private, max-age=86400")
	}
	w.Header().Set("Content-Type", mediaTypes[".svg"])
	_, _ = w.Write(svg) // the reader may be gone; nothing is left to do then
	return nil
}
