package common

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/web/kernel"
)

// SendDrawing sends a drawing of the present figure. An address that names a revision (?rev=) may be kept for a day:
// the page names another one when the figure has changed.
func SendDrawing(app *kernel.App, w http.ResponseWriter, r *http.Request, what string, pen func(*figure.Figure) *draw.Drawing) error {
	if r.URL.Query().Has("rev") {
		w.Header().Set("Cache-Control", "private, max-age=86400")
	}
	return app.SendKept(w, r, what, kernel.MediaTypes[".svg"], "", func(p kernel.Present) ([]byte, error) {
		return pen(p.Figure).Encode(draw.SVG, 0)
	})
}
