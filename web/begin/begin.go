// Package begin is where a figure begins (/new): as a plain tube, as a shape, from a wished size, as a copy of a figure on the shelf,
// from a picture, or from a solid.
package begin

import (
	"bytes"
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/picture"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// room answers for the place: the kernel, as its handlers use it, and the solids that were sent.
type room struct {
	*kernel.App
	solids solids
}

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "begin", Routes: []kernel.Route{
		kernel.Get("/new", kernel.NeedsMaker, s.newFigure),
		kernel.Post("/new", kernel.NeedsMaker, s.InTurn(s.makeFigure)),
		kernel.Heavy(kernel.Post("/new/picture", kernel.NeedsMaker, s.fromPicture), mostPicture, kernel.NewProblem(wire.CodeTooLarge, "picture.large", "Limit", picture.MaxBytes>>20)),
		kernel.Heavy(kernel.Post("/new/solid", kernel.NeedsMaker, s.keepSolid), mostSolid, kernel.NewProblem(wire.CodeTooLarge, "solid.large", "Limit", mostSolid>>20)),
		kernel.Get("/new/solid/{key}", kernel.NeedsMaker, s.showSolid),
		kernel.Post("/new/solid/{key}", kernel.NeedsMaker, s.takeSolid),
		kernel.Get("/new/solid/{key}/stand.bin", kernel.NeedsMaker, s.solidStands),
		kernel.Get("/new/solid/{key}/mesh.bin", kernel.NeedsMaker, s.solidMesh),
		kernel.Get("/new/shapes/{shape}.svg", kernel.NeedsNothing, s.shapePicture),
	}}
}

// Door is one way to begin.
type Door struct {
	Key  string // in the address: /new?begin=KEY
	Icon string // path of a drawing on a 24 × 24 field
}

// Name is what people call the door.
func (d Door) Name() words.Text { return words.T("begin.door." + d.Key) }

// Doors are all of them, in the order in which they are shown; the first is open at first.
var Doors = []Door{
	{"blank", "M5 8C5 5.5 8 4 12 4S19 5.5 19 8V17C19 19 16 20.5 12 20.5S5 19 5 17ZM5 8C5 10 8 11.5 12 11.5S19 10 19 8"},
	{"shape", "M9 20.5H15C18 17.5 19.5 14.5 18.5 11C17.7 8 15.5 7 15 3.5H9C8.5 7 6.3 8 5.5 11C4.5 14.5 6 17.5 9 20.5Z"},
	{"wish", "M4 20V5M4 20H20M4 5L2.5 7M4 5L5.5 7M20 20L18 18.5M20 20L18 21.5M9 16V9H16V16Z"},
	{"copy", "M8 8H19V20H8ZM5 16V4H16"},
	{"picture", "M3.5 4.5H20.5V19.5H3.5ZM5 17L9.5 11L12.5 14.5L15 12L19 17M15.5 9.5H15.6"},
	{"solid", "M12 3L20 7.5V16.5L12 21L4 16.5V7.5ZM4 7.5L12 12L20 7.5M12 12V21"},
}

func doorOf(key string) Door {
	for _, d := range Doors {
		if d.Key == key {
			return d
		}
	}
	return Doors[0]
}

// Start is the page on which a figure begins.
type Start struct {
	Door   Door
	Form   *kernel.Form
	Ways   []WishWay
	Wished bool // a wish was made
	// Nothing says why there is no way.
	Nothing words.Text
	// Measured is the name of the maker's swatch by which sizes are reckoned, empty where they are from memory.
	Measured string
	Copies   []Copy
}

// newFigure shows the doors, and the form behind the one that is asked for.
func (s *room) newFigure(w http.ResponseWriter, r *http.Request) error {
	start := Start{Door: doorOf(r.URL.Query().Get("begin")), Form: kernel.NewForm(Beginning, newNames)}
	switch start.Door.Key {
	case "wish":
		if q := r.URL.Query(); q.Has("height") {
			return s.InTurn(func(w http.ResponseWriter, r *http.Request) error { return s.wish(w, r, q) })(w, r)
		}
	case "copy":
		var err error
		if start.Copies, err = s.copies(r); err != nil {
			return err
		}
	}
	return s.render(w, r, http.StatusOK, start)
}

func (s *room) render(w http.ResponseWriter, r *http.Request, status int, start Start) error {
	page := s.NewPage(r, kernel.Speaker(r).T("web.new.title"))
	page.Styles, page.Scripts = []string{"begin"}, []string{"begin"}
	return kernel.Render(w, r, status, Page(page, start))
}

// makeFigure puts the figure that a form describes on the shelf. What is refused is shown beside its field, and
// everything typed stays.
func (s *room) makeFigure(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return kernel.CutShort(err)
	}
	start := Start{Door: doorOf(r.PostForm.Get("begin")), Form: kernel.NewForm(r.PostForm, newNames)}
	var f *figure.Figure
	hand, err := s.hand(r.Context())
	if err != nil {
		return err
	}
	switch start.Door.Key {
	case "shape", "wish":
		if f = readShape(kernel.Speaker(r), start.Form, hand.gauge); f == nil {
			break
		}
		settings := hand.settings(f.Unit)
		if sheet := start.Form.Value("sheet"); start.Door.Key == "wish" && slices.Contains(wishSheets, sheet) {
			settings.Sheet = sheet
		}
		return s.keep(w, r, f, settings.Write())
	case "copy":
		var settings json.RawMessage
		if f, settings, err = s.copyOf(r, start.Form); err == nil && f == nil {
			start.Copies, err = s.copies(r)
		}
		if err != nil {
			return err
		}
		if f != nil {
			return s.keep(w, r, f, settings)
		}
	default:
		if f = readBlank(kernel.Speaker(r), start.Form); f != nil {
			return s.keep(w, r, f, hand.settings(f.Unit).Write())
		}
	}
	return s.render(w, r, http.StatusUnprocessableEntity, start)
}

// keep puts a figure on the shelf, with what its numbers rest on where that is known, and leads to it.
func (s *room) keep(w http.ResponseWriter, r *http.Request, f *figure.Figure, settings json.RawMessage) error {
	d, err := s.Store.Create(r.Context(), f)
	if err != nil {
		return err
	}
	if settings != nil && !bytes.Equal(settings, report.DefaultSettings().Write()) {
		if err := s.Store.SetSettings(r.Context(), d.ID, settings); err != nil {
			return err
		}
	}
	http.Redirect(w, r, "/d/"+d.ID, http.StatusSeeOther)
	return nil
}

// shapeRings is the form of a shape before anything is typed: its rings follow from its shape.
func shapeRings(form *kernel.Form) *kernel.Form {
	if form.Value("begin") == "" && len(form.Wrong) == 0 {
		return kernel.NewForm(map[string][]string{}, newNames)
	}
	return form
}

// readTitle reads what the figure is to be called.
func readTitle(form *kernel.Form) string {
	title := strings.TrimSpace(form.Value("title"))
	if what, fix, bad := figure.NameFault(title, figure.MaxTitle, true); bad {
		form.Refuse("title", what, fix)
	}
	return title
}

// readShape makes the shape that the form describes; what is wrong is noted in the form.
func readShape(say *words.Speaker, form *kernel.Form, gauge func(figure.Unit) shape.Gauge) *figure.Figure {
	title := readTitle(form)
	kind, ok := outline.ByKey(form.Value("shape"))
	if !ok {
		form.Refuse("shape", words.T("web.form.choose"))
	}
	units := form.Whole("units", outline.LeastWidest, figure.MaxUnits)
	unit := readUnit(form)
	rings := 0
	if strings.TrimSpace(form.Value("rings")) != "" {
		rings = form.Whole("rings", outline.LeastRings, figure.MaxRings)
	}
	colours := readPapers(say, form)
	if !form.OK() {
		return nil
	}
	g := gauge(unit)
	if rings == 0 {
		rings = kind.Rings(units, g)
	}
	if units*rings > figure.MaxAllUnits {
		form.Refuse("rings", words.T("figure.too_many_units", "Found", units*rings), words.T("figure.too_many_units.fix", "Max", figure.MaxAllUnits))
		return nil
	}
	f, err := kind.Make(title, unit, colours, units, rings, g)
	if err != nil {
		refuse(form, "shape", err)
		return nil
	}
	if got := outline.Widest(f); got < units && form.Value("begin") == "shape" { // a wish has told of it
		form.Refuse("rings", words.T("begin.shape.narrower", "Rings", words.T("web.rings", "Count", rings), "Got", words.T("figure.units", "Count", got)))
		return nil
	}
	return f
}

// refuse notes beside a field why nothing can be made of what was typed.
func refuse(form *kernel.Form, field string, err error) {
	var why words.Text
	var faults figure.Faults
	switch {
	case errors.As(err, &why):
		form.Refuse(field, why)
	case errors.As(err, &faults):
		form.Refuse(field, faults[0].What, faults[0].Fix)
	default:
		form.Refuse(field, words.T("web.form.choose"))
	}
}

// The small pictures of the shapes, mm and units.
const (
	pictureSide  = 40
	pictureUnits = 18
)

// shapePictures are drawn once, when the first is asked for.
var shapePictures = sync.OnceValue(func() map[string][]byte {
	out := map[string][]byte{}
	sea, _ := figure.PaperByID("sand")
	papers := []figure.Colour{{ID: sea.ID, Name: sea.ID, Hex: sea.Hex}}
	unit := figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}
	g := shape.FromMemory(unit)
	for _, kind := range outline.Shapes {
		f, err := kind.Make(kind.Key, unit, papers, pictureUnits, kind.Rings(pictureUnits, g), g)
		if err != nil {
			continue // its button has only a name
		}
		out[kind.Key] = draw.Thumbnail(f, pictureSide).SVG()
	}
	return out
})

// shapePicture is the small picture of a shape, which is the same for everybody.
func (s *room) shapePicture(w http.ResponseWriter, r *http.Request) error {
	name := strings.TrimSuffix(strings.TrimPrefix(r.URL.Path, "/new/shapes/"), ".svg")
	drawn, ok := shapePictures()[name]
	if !ok {
		return kernel.NotFound()
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", "public, max-age=3600")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(drawn))
	return nil
}

// Copy is a figure that can be copied.
type Copy struct{ ID, Title, Picture string }

func (s *room) copies(r *http.Request) ([]Copy, error) {
	designs, err := s.Store.List(r.Context(), false)
	if err != nil {
		return nil, err
	}
	out := make([]Copy, len(designs))
	for i, d := range designs {
		out[i] = Copy{d.ID, d.Title, "/d/" + url.PathEscape(d.ID) + "/picture.svg"}
	}
	return out, nil
}

// copyOf makes a copy of the figure that the form names, with what its numbers rest on.
func (s *room) copyOf(r *http.Request, form *kernel.Form) (f *figure.Figure, settings json.RawMessage, err error) {
	err = s.Store.Look(r.Context(), form.Value("of"), func(n store.Now) error {
		f, settings = n.Figure.Clone(), slices.Clone(n.Settings)
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	title := strings.TrimSpace(form.Value("title"))
	if title == "" {
		title = kernel.Speaker(r).T("begin.copy_of", "Title", f.Title)
		if runes := []rune(title); len(runes) > figure.MaxTitle {
			title = string(runes[:figure.MaxTitle])
		}
	}
	if what, fix, bad := figure.NameFault(title, figure.MaxTitle, true); bad {
		form.Refuse("title", what, fix)
		return nil, nil, nil
	}
	f.Title = title
	return f, settings, nil
}
