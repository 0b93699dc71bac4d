// Package stand is the page /stand: the figure turned in 3D, its places, its model file and the drawing that stands in
// for it.
package stand

import (
	"bytes"
	"math"
	"net/http"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// tab is the page on which the figure stands.
var tab = kernel.Tab{Page: "stand", Name: words.T("web.page.stand")}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "stand", Tab: &tab, Heads: map[string]words.Text{"stand": tab.Name}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/stand", kernel.NeedsView, s.stand),
		kernel.Get(kernel.OfFigure+"/stand.bin", kernel.NeedsView, s.standPlaces),
		kernel.Post(kernel.OfFigure+"/stand/try", kernel.NeedsEdit, s.try),
		kernel.Get(kernel.OfFigure+"/figure.svg", kernel.NeedsView, s.still),
		kernel.Get(kernel.OfFigure+"/figure.glb", kernel.NeedsView, s.standModel),
	}}
}

// View is the page of the standing figure.
type View struct {
	Base, Power string
	Title       string
	Picture     string // address of the still drawing
	About       []words.Text
	Unread      bool // usual settings stand in for those that cannot be read
}

// stand shows the page on which the figure is turned in 3D.
func (s *room) stand(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	a := kernel.AccessOf(r)
	page := s.FigurePage(r, p.Figure.Title, tab)
	page.Styles, page.Scripts = []string{"stand"}, []string{"stand"}
	page.Wide, page.Client = true, true
	page.Running = kernel.RunningAddress(page, tab.Page)
	return kernel.Render(w, r, http.StatusOK, StandPage(page, View{
		Base: a.Base, Power: string(a.Power), Title: p.Figure.Title,
		Picture: a.Base + "/figure.svg?rev=" + strconv.FormatInt(p.Rev, 10),
		About:   aboutStanding(p.Figure, shape.Estimate(p.Figure, p.Gauge())), Unread: p.Unread,
	}))
}

// standPlaces sends the scene as JSON, led by its length (little-endian, 4 bytes) and filled with
// spaces to a multiple of 4, and then every unit's place as float32 numbers (shape.Stride of them).
func (s *room) standPlaces(w http.ResponseWriter, r *http.Request) error {
	say := kernel.Speaker(r)
	return s.SendKept(w, r, "places", "application/octet-stream", "", func(d kernel.Present) ([]byte, error) {
		p := shape.Place(d.Figure, d.Gauge())
		return common.Places(d.Figure, p, d.Rev, aboutStanding(d.Figure, p.Size), say)
	})
}

// standModel hands out the figure as a model file, glTF 2.0 binary, in metres.
func (s *room) standModel(w http.ResponseWriter, r *http.Request) error {
	return s.SendKept(w, r, "model", "model/gltf-binary", ".glb", func(p kernel.Present) ([]byte, error) {
		var model bytes.Buffer
		err := shape.Place(p.Figure, p.Gauge()).WriteGLB(&model, p.Figure)
		return model.Bytes(), err
	})
}

// aboutStanding says what stands there, for those who do not see it.
func aboutStanding(f *figure.Figure, size shape.Size) []words.Text {
	out := []words.Text{
		words.T("stand.about.counts", "Counts", report.Count(f).Text(len(f.Rings))),
		aboutSize(size),
		aboutWidths(f),
	}
	if len(f.Parts) > 0 {
		names := make([]string, len(f.Parts))
		for i := range f.Parts {
			names[i] = f.Parts[i].Name
		}
		out = append(out, words.T("stand.about.parts", "Names", strings.Join(names, ", ")))
	}
	if len(f.Extras) == 0 {
		return out
	}
	names := make([]string, len(f.Extras))
	for i, e := range f.Extras {
		names[i] = e.Name
	}
	return append(out, words.T("stand.about.extras", "Count", len(f.Extras), "Names", strings.Join(names, ", ")))
}

func aboutSize(size shape.Size) words.Text {
	h, w := size.Height, size.Diameter
	if size.Calibrated {
		return words.T("stand.about.size", "Height", inCM(h.Best), "Width", inCM(w.Best))
	}
	if inCM(h.Low) == inCM(h.High) { // a single ring of tilted units hardly changes its height
		return words.T("stand.about.size_wide", "Height", inCM(h.Best), "Width", inCM(w.Best), "WidthLow", inCM(w.Low), "WidthHigh", inCM(w.High))
	}
	return words.T("stand.about.size_about",
		"Height", inCM(h.Best), "HeightLow", inCM(h.Low), "HeightHigh", inCM(h.High),
		"Width", inCM(w.Best), "WidthLow", inCM(w.Low), "WidthHigh", inCM(w.High))
}

// aboutWidths names the lowest of the rings with the most units, and the top ring, of the part on the table. (Which ring is the widest is for
// the size to say: a lean wall or an extra may stand out further.)
func aboutWidths(f *figure.Figure) words.Text {
	widest, equal, rings := 0, true, len(f.Rings)
	if len(f.Parts) > 0 {
		rings = f.Parts[0].Rows
	}
	for i := range rings {
		if len(f.Rings[i].Cells) > len(f.Rings[widest].Cells) {
			widest = i
		}
		equal = equal && len(f.Rings[i].Cells) == len(f.Rings[0].Cells)
	}
	units := func(ring int) words.Text { return words.T("figure.units", "Count", len(f.Rings[ring].Cells)) }
	switch {
	case equal && len(f.Parts) > 0:
		return words.T("stand.about.part_equal", "Part", f.Parts[0].Name, "Units", units(0))
	case equal:
		return words.T("stand.about.equal", "Units", units(0))
	case len(f.Parts) > 0:
		return words.T("stand.about.part_most", "Part", f.Parts[0].Name, "Ring", widest+1, "Units", units(widest), "Top", units(rings-1))
	}
	return words.T("stand.about.most", "Ring", widest+1, "Units", units(widest), "Top", units(rings-1))
}

// inCM says mm in whole centimetres, below 10 cm with one decimal.
func inCM(mm float64) string {
	if mm < 100 {
		return strconv.FormatFloat(math.Round(mm)/10, 'f', -1, 64)
	}
	return strconv.FormatFloat(math.Round(mm/10), 'f', 0, 64)
}
