package web

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
)

// thumbnailMM is the side of the square picture of a figure; a vector picture has no pixels.
const thumbnailMM = 80

// picture is the figure as it stands, in a square.
func (s *Server) picture(w http.ResponseWriter, r *http.Request) error {
	return s.drawn(w, r, "picture", func(f *figure.Figure) *draw.Drawing { return draw.Thumbnail(f, thumbnailMM) })
}

// still is the figure as it stands, seen from three quarters: what the 3D page shows where it cannot draw. With
// ?signs the units carry their signs.
func (s *Server) still(w http.ResponseWriter, r *http.Request) error {
	say := speaker(r)
	name, stand := "still", draw.Stand
	if r.URL.Query().Has("signs") {
		name, stand = "signed still", draw.Signed
	}
	return s.drawn(w, r, name, func(f *figure.Figure) *draw.Drawing { return stand(f, draw.ThreeQuarter, say) })
}

// patternPicture is the unrolled pattern with its ring numbers and signs.
func (s *Server) patternPicture(w http.ResponseWriter, r *http.Request) error {
	say := speaker(r)
	return s.drawn(w, r, "pattern", func(f *figure.Figure) *draw.Drawing {
		return draw.Pattern(f, draw.PatternOptions{Signs: true, Say: say})
	})
}

// drawn sends a drawing of the present figure. An address that names a revision (?rev=) may be kept for a day:
// the page names another one when the figure has changed.
func (s *Server) drawn(w http.ResponseWriter, r *http.Request, what string, pen func(*figure.Figure) *draw.Drawing) error {
	if r.URL.Query().Has("rev") {
		w.Header().Set("Cache-Control", "private, max-age=86400")
	}
	return s.sendKept(w, r, what, mediaTypes[".svg"], "", func(p Present) ([]byte, error) {
		return pen(p.Figure).Encode(draw.SVG, 0)
	})
}
