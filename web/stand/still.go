package stand

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// sides are where ?from= looks from.
var sides = map[string]draw.View{"front": draw.Front, "right": draw.Right, "back": draw.Back, "left": draw.Left}

// still is the figure as it stands, seen from three quarters, or from one of the sides: what the 3D page shows where it
// cannot draw, and the editor of figures of several parts. With ?signs the units carry their signs.
func (s *room) still(w http.ResponseWriter, r *http.Request) error {
	say := kernel.Speaker(r)
	name, stand := "still", draw.Stand
	if r.URL.Query().Has("signs") {
		name, stand = "signed still", draw.Signed
	}
	view := draw.ThreeQuarter
	if from, ok := sides[r.URL.Query().Get("from")]; ok {
		name, view = name+" from "+r.URL.Query().Get("from"), from
	}
	return common.SendDrawing(s.App, w, r, name, func(f *figure.Figure) *draw.Drawing { return stand(f, view, say) })
}
