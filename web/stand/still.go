package stand

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// still is the figure as it stands, seen from three quarters: what the 3D page shows where it cannot draw. With
// ?signs the units carry their signs.
func (s *room) still(w http.ResponseWriter, r *http.Request) error {
	say := kernel.Speaker(r)
	name, stand := "still", draw.Stand
	if r.URL.Query().Has("signs") {
		name, stand = "signed still", draw.Signed
	}
	return common.SendDrawing(s.App, w, r, name, func(f *figure.Figure) *draw.Drawing { return stand(f, draw.ThreeQuarter, say) })
}
