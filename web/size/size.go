// Package size is the page /size: how large the figure becomes, the maker's swatches, and ways to a wished size.
package size

import (
	"errors"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

var tab = kernel.Tab{Page: "size", Name: words.T("web.page.size")}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "size", Heads: map[string]words.Text{"size": words.T("sizepage.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/size", kernel.NeedsView, s.InTurn(s.size)),
		kernel.Post(kernel.OfFigure+"/size/undo", kernel.NeedsEdit, s.TakeBackOn(tab.Page)),
		kernel.Post(kernel.OfFigure+"/size/apply", kernel.NeedsEdit, s.InTurn(s.applySize)),
		kernel.Post(kernel.OfFigure+"/size/use", kernel.NeedsEdit, s.chooseSwatch),
		kernel.Post(kernel.OfFigure+"/size/lengths", kernel.NeedsEdit, s.showInches),
		kernel.Post(kernel.OfFigure+"/size/swatch", kernel.NeedsMaker, s.keepSwatch),
		kernel.Post(kernel.OfFigure+"/size/forget", kernel.NeedsMaker, s.forgetSwatch),
	}}
}

// The measures that lengths are typed in, and their mm.
const (
	measureMM   = "mm"
	measureCM   = "cm"
	measureInch = "in"
)

var mmOf = map[string]float64{measureMM: 1, measureCM: 10, measureInch: paper.MMPerInch}

// offered is how many ways to a wished size are shown.
const offered = 6

// View is what the size page shows.
type View struct {
	Base         string
	MayEdit      bool
	Settings     report.Settings
	Unread       bool // usual settings stand in for those that cannot be read
	Size         shape.Size
	Known        words.Text // how well the size is known
	Profile      string     // drawing of the rings' widths
	Rows         []Row
	Calibrations []CalibrationChoice
	Swatch       *kernel.Form
	Wish         *kernel.Form
	Candidates   []Candidate
	Asked        bool // a size was wished
	Pick         *Pick
	Done         words.Text // what was just done, zero for nothing
	Undo         bool
}

// Row is a stretch of rings with one count.
type Row struct {
	Part            string // the name of its part, in a figure of several
	From, To, Units int
	Diameter, Top   words.Text
}

// CalibrationChoice is one of the maker's calibrations.
type CalibrationChoice struct {
	store.Calibration
	Chosen bool
}

// Candidate is one way to come close to the wished size.
type Candidate struct {
	shape.Candidate
	Nth  int
	Link string // address that shows what would change
}

// Pick is a way that was picked, and what it would change.
type Pick struct {
	Candidate
	Lines   []words.Text
	Refused words.Text // why it cannot be done, zero when it can
	Nothing bool       // the figure is so already
}

// sizeNames are what the fields of a wished size and of a swatch are called.
var sizeNames = map[string]words.Text{
	"height":        words.T("web.form.field.height"),
	"wide":          words.T("web.form.field.wide"),
	"tube_name":     words.T("web.form.field.tube_name"),
	"tube_paper":    words.T("web.form.field.tube_paper"),
	"unit_long":     words.T("web.form.field.unit_long"),
	"unit_short":    words.T("web.form.field.unit_short"),
	"unit_fold":     words.T("web.form.field.unit_fold"),
	"tube_units":    words.T("web.form.field.tube_units"),
	"tube_rings":    words.T("web.form.field.tube_rings"),
	"tube_diameter": words.T("web.form.field.tube_diameter"),
	"tube_height":   words.T("web.form.field.tube_height"),
	"tube_rounding": words.T("web.form.field.tube_rounding"),
}

// size shows how large the figure becomes and what would bring it to another size. It works without
// scripts; a wish is part of the address.
func (s *room) size(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	return s.renderSize(w, r, http.StatusOK, p, kernel.NewForm(swatchBeginning(p), sizeNames), wishForm(r.URL.Query(), p))
}

func (s *room) renderSize(w http.ResponseWriter, r *http.Request, status int, p kernel.Present, swatch, wish *kernel.Form) error {
	a := kernel.AccessOf(r)
	say := kernel.Speaker(r)
	v := View{Base: a.Base, MayEdit: a.May(store.PowerEdit), Settings: p.Settings, Unread: p.Unread, Swatch: swatch, Wish: wish}
	v.Size = shape.Estimate(p.Figure, p.Gauge())
	v.Known = knownBy(p)
	v.Profile = string(draw.Profile(v.Size, common.ProfileWidth, common.ProfileHeight, say).SVG())
	v.Rows = sizeRows(v.Size, p.Settings.Inches)
	if a.Maker { // the maker's own tubes are nobody else's business
		list, err := s.Store.Calibrations(r.Context())
		if err != nil {
			return err
		}
		for _, c := range list {
			v.Calibrations = append(v.Calibrations, CalibrationChoice{c, common.SwatchOf(c) == p.Settings.Swatch})
		}
	}
	v.wished(p)
	v.Done, v.Undo = sizeDone(r.URL.Query().Get("done"))
	page := s.FigurePage(r, p.Figure.Title, tab)
	page.Running = kernel.RunningAddress(page, tab.Page)
	page.Styles = []string{"size"}
	return kernel.Render(w, r, status, Page(page, v))
}

// sizeDone says what was just done, and whether it is a step that can be taken back.
func sizeDone(what string) (said words.Text, undo bool) {
	switch what {
	case "size":
		return words.T("sizepage.applied"), true
	case "undo", "stuck":
		return words.T(words.Among("checkpage.done.", what, "undo", "stuck")), false
	case "swatch", "use", "memory", "forget":
		return words.T(words.Among("sizepage.done.", what, "swatch", "use", "memory", "forget")), false
	}
	return words.Text{}, false
}

// knownBy says what the size rests on.
func knownBy(p kernel.Present) words.Text {
	w := p.Settings.Swatch
	if w == (report.Swatch{}) {
		return words.T("sizepage.memory")
	}
	if refused := w.Fault(); refused != nil {
		return words.T("sizepage.refused", "Swatch", swatchName(w), "Why", refused.Text)
	}
	switch g := p.Gauge(); {
	case !g.Calibrated:
		return words.T("sizepage.other", "Swatch", swatchName(w))
	default:
		return words.T("sizepage.calibrated", "Swatch", swatchName(w))
	}
}

func swatchName(w report.Swatch) any {
	if w.Name == "" {
		return words.T("sizepage.unnamed")
	}
	return w.Name
}

// sizeRows puts neighbouring rings of one width together.
func sizeRows(size shape.Size, inches bool) []Row {
	var out []Row
	var last shape.RingSize
	for _, r := range size.Rings {
		if n := len(out); n > 0 && last.Part == r.Part && last.Units == r.Units && last.Diameter == r.Diameter {
			out[n-1].To, out[n-1].Top = r.Ring, report.ShowLength(r.Top, inches)
		} else {
			out = append(out, Row{r.Name, r.Ring, r.Ring, r.Units, report.ShowLength(r.Diameter, inches), report.ShowLength(r.Top, inches)})
		}
		last = r
	}
	return out
}

// ---------- calibrations ----------

// swatchBeginning is what the form of a swatch holds at first: a tube of the figure's own paper.
func swatchBeginning(p kernel.Present) map[string][]string {
	u := p.Figure.Unit
	return map[string][]string{
		"unit_long": {kernel.Digits(u.LongMM)}, "unit_short": {kernel.Digits(u.ShortMM)}, "unit_fold": {string(u.Fold)},
		"tube_units": {"12"}, "tube_rings": {"6"}, "tube_measure": {measureMM}, "tube_rounding": {kernel.Digits(shape.DefaultRounding)},
	}
}

// keepSwatch keeps a measured tube under a name and reckons this design's size by it.
func (s *room) keepSwatch(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return kernel.CutShort(err)
	}
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	if err := p.Replaceable(); err != nil { // before the swatch is kept, so that not half of it is done
		return err
	}
	form := kernel.NewForm(r.PostForm, sizeNames)
	c := readSwatch(form)
	if form.OK() {
		c, err = s.Store.AddCalibration(r.Context(), c)
		var refused *store.Error
		if errors.As(err, &refused) && refused.Code == store.Conflict {
			form.Refuse("tube_name", refused.What, refused.Fix)
		} else if err != nil {
			return err
		}
	}
	if !form.OK() {
		return s.renderSize(w, r, http.StatusUnprocessableEntity, p, form, wishForm(nil, p))
	}
	return s.useSwatch(w, r, p, common.SwatchOf(c), "swatch")
}

// readSwatch reads the form of a swatch; what cannot be is noted beside its field.
func readSwatch(form *kernel.Form) store.Calibration {
	c := store.Calibration{Name: strings.TrimSpace(form.Value("tube_name")), Paper: strings.TrimSpace(form.Value("tube_paper"))}
	for _, text := range []struct {
		field, value string
		needed       bool
	}{{"tube_name", c.Name, true}, {"tube_paper", c.Paper, false}} {
		if what, fix, bad := figure.NameFault(text.value, figure.MaxName, text.needed); bad {
			form.Refuse(text.field, what, fix)
		}
	}
	c.Unit = form.Unit("unit_long", "unit_short", "unit_fold")
	c.Units = form.Whole("tube_units", figure.MinUnits, figure.MaxUnits)
	c.Rings = form.Whole("tube_rings", shape.MinSwatchRings, figure.MaxRings)
	measure := form.Value("tube_measure")
	c.RoundingMM = measured(form, "tube_rounding", 0.05, shape.MaxRounding, measure)
	least := max(2, 2*c.RoundingMM)
	c.DiameterMM = measured(form, "tube_diameter", least, shape.MaxSwatchMM, measure)
	c.HeightMM = measured(form, "tube_height", least, shape.MaxSwatchMM, measure)
	if form.OK() {
		if refused := common.SwatchOf(c).Fault(); refused != nil {
			form.Refuse(tubeField[refused.Entry], inMeasure(refused.Text, measure))
		}
	}
	return c
}

// inMeasure puts limits that are in mm into the measure that the maker types in, none of them wider than they are.
func inMeasure(t words.Text, measure string) words.Text {
	low, ok := t.Args["Low"].(float64)
	high, both := t.Args["High"].(float64)
	mm, known := mmOf[measure]
	if t.Args["Measure"] == nil || !ok || !both || !known {
		return t
	}
	t.Args["Low"], t.Args["High"], t.Args["Measure"] = kernel.Digits(math.Ceil(low/mm*100)/100), kernel.Digits(math.Floor(high/mm*100)/100), measure
	return t
}

// tubeField is the field in which an entry of a swatch is typed.
var tubeField = map[shape.SwatchEntry]string{
	shape.SwatchUnit: "unit_long", shape.SwatchUnits: "tube_units", shape.SwatchRings: "tube_rings",
	shape.SwatchDiameter: "tube_diameter", shape.SwatchHeight: "tube_height", shape.SwatchRounding: "tube_rounding",
}

// measured reads a length from low to high mm that is typed in the given measure, and gives it in mm.
func measured(f *kernel.Form, field string, low, high float64, measure string) float64 {
	mm, known := mmOf[measure]
	v, ok := kernel.Decimal(f.Value(field))
	if !known {
		mm, measure = 1, measureMM
	}
	if v *= mm; !ok || v < low-1e-9 || v > high+1e-9 {
		f.Refuse(field, words.T("sizepage.form.length", "Low", rounded(low/mm), "High", rounded(high/mm), "Measure", measure))
		return 0
	}
	return v
}

// rounded writes a limit with at most two decimals.
func rounded(v float64) string { return kernel.Digits(math.Round(v*100) / 100) }

// chooseSwatch reckons this design's size by one of the calibrations, or from memory again.
func (s *room) chooseSwatch(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	if r.PostFormValue("calibration") == "" {
		return s.useSwatch(w, r, p, report.Swatch{}, "memory")
	}
	if !kernel.AccessOf(r).Maker {
		return kernel.NewProblem(wire.CodeForbidden, "only_here")
	}
	list, err := s.Store.Calibrations(r.Context())
	if err != nil {
		return err
	}
	for _, c := range list {
		if strconv.FormatInt(c.ID, 10) == r.PostFormValue("calibration") {
			return s.useSwatch(w, r, p, common.SwatchOf(c), "use")
		}
	}
	return kernel.NewProblem(wire.CodeNotFound, "no_calibration")
}

func (s *room) useSwatch(w http.ResponseWriter, r *http.Request, p kernel.Present, swatch report.Swatch, done string) error {
	p.Settings.Swatch = swatch
	return s.keepSettings(w, r, p, done)
}

func (s *room) keepSettings(w http.ResponseWriter, r *http.Request, p kernel.Present, done string) error {
	if err := s.KeepSettings(r.Context(), p); err != nil {
		return err
	}
	address := kernel.AccessOf(r).Base + "/size"
	if done != "" {
		address += "?done=" + done
	}
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// forgetSwatch forgets a calibration; designs that use it keep its measures.
func (s *room) forgetSwatch(w http.ResponseWriter, r *http.Request) error {
	id, err := strconv.ParseInt(r.PostFormValue("calibration"), 10, 64)
	if err != nil {
		return kernel.NewProblem(wire.CodeInvalid, "form")
	}
	if err := s.Store.RemoveCalibration(r.Context(), id); err != nil {
		return err
	}
	http.Redirect(w, r, kernel.AccessOf(r).Base+"/size?done=forget", http.StatusSeeOther)
	return nil
}

// showInches turns inches beside the centimetres on or off.
func (s *room) showInches(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	p.Settings.Inches = r.PostFormValue("inches") != ""
	return s.keepSettings(w, r, p, "")
}

// ---------- a wished size ----------

// wishForm is the form of a wish; without one it holds the present size of the figure, as it is stated.
func wishForm(values url.Values, p kernel.Present) *kernel.Form {
	if values.Has("height") || values.Has("wide") {
		return kernel.NewForm(values, sizeNames)
	}
	size := shape.Estimate(p.Figure, p.Gauge())
	measure := measureCM
	if p.Settings.Inches {
		measure = measureInch
	}
	show := func(mm float64) []string { return []string{kernel.Digits(math.Round(mm/mmOf[measure]*10) / 10)} }
	return kernel.NewForm(map[string][]string{"height": show(size.Height.Best), "wide": show(size.Diameter.Best), "in": {measure}}, sizeNames)
}

// wished finds the ways to a wished size, and what the picked one would change.
func (v *View) wished(p kernel.Present) {
	nth := v.Wish.Value("pick")
	if v.Wish.Value("asked") == "" {
		return
	}
	v.Asked = true
	list := waysTo(v.Wish, p)
	for i, c := range list {
		link := url.Values{"asked": {"1"}, "height": {v.Wish.Value("height")}, "wide": {v.Wish.Value("wide")}, "in": {v.Wish.Value("in")}, "pick": {strconv.Itoa(i)}}
		k := Candidate{c, i, v.Base + "/size?" + link.Encode() + "#picked"}
		v.Candidates = append(v.Candidates, k)
		if nth == strconv.Itoa(i) {
			v.Pick = pickOf(k, p)
		}
	}
}

// waysTo lists the ways to the size that the form wishes; a wish that cannot be is noted in the form.
func waysTo(form *kernel.Form, p kernel.Present) []shape.Candidate {
	w := shape.Wish{HeightMM: measured(form, "height", shape.MinWishMM, shape.MaxWishMM, form.Value("in")),
		DiameterMM: measured(form, "wide", shape.MinWishMM, shape.MaxWishMM, form.Value("in"))}
	if !form.OK() {
		return nil
	}
	list, err := shape.SuggestFor(p.Figure, w, cutsFor(p.Figure.Unit), p.Settings.Gauge)
	if err != nil {
		return nil // its limits are those of the form
	}
	return list[:min(len(list), offered)]
}

// cutsFor are the usual cuts, and the figure's own unit when it is none of them.
func cutsFor(own figure.Unit) []shape.Cut {
	cuts := shape.UsualCuts()
	for _, c := range cuts {
		if c.Unit == own {
			return cuts
		}
	}
	return append([]shape.Cut{{Unit: own}}, cuts...)
}

// pickOf works out what a way would change of the figure, without changing it.
func pickOf(k Candidate, p kernel.Present) *Pick {
	pick := &Pick{Candidate: k}
	edit, err := figure.Resize(p.Figure, k.Unit, k.Units, k.Rings)
	if err != nil {
		pick.Refused = firstFault(err)
		return pick
	}
	if edit == nil {
		pick.Nothing = true
		return pick
	}
	then := p.Figure.Clone()
	_, change, err := figure.Apply(then, edit)
	if err != nil {
		pick.Refused = firstFault(err)
		return pick
	}
	line := func(key string, was, is any) {
		if was != is {
			pick.Lines = append(pick.Lines, words.T("sizepage.line."+key, "Was", was, "Is", is))
		}
	}
	line("unit", paperText(p.Figure.Unit), paperText(then.Unit))
	line("rings", len(p.Figure.Rings), len(then.Rings))
	line("widest", widest(p.Figure), widest(then))
	line("units", p.Figure.Units(), then.Units())
	seen := map[string]bool{}
	for _, remark := range change.Remarks {
		if text := remark.String(); !seen[text] && len(seen) < 5 {
			seen[text] = true
			pick.Lines = append(pick.Lines, remark)
		}
	}
	return pick
}

func firstFault(err error) words.Text {
	faults, err := kernel.FaultsOf(err)
	if err != nil {
		return words.T("web.problem.internal.what")
	}
	return words.T("checkpage.refused", "What", faults[0].What, "Fix", faults[0].Fix)
}

func widest(f *figure.Figure) int {
	n := 0
	for i := range f.Rings {
		n = max(n, len(f.Rings[i].Cells))
	}
	return n
}

// paperText says the paper of a unit and its fold in English, for comparing and for showing.
func paperText(u figure.Unit) string {
	return words.T("sizepage.paper", "Long", kernel.Digits(u.LongMM), "Short", kernel.Digits(u.ShortMM), "Fold", words.T("findings.fold."+string(u.Fold))).String()
}

// applySize brings the figure to a picked size as one step.
func (s *room) applySize(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return kernel.CutShort(err)
	}
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	form := kernel.NewForm(r.PostForm, sizeNames)
	list := waysTo(form, p)
	nth, err := strconv.Atoi(form.Value("pick"))
	if err != nil || nth < 0 || nth >= len(list) {
		return kernel.NewProblem(wire.CodeInvalid, "form")
	}
	edit, err := figure.Resize(p.Figure, list[nth].Unit, list[nth].Units, list[nth].Rings)
	if err == nil && edit != nil {
		err = s.TakeStep(w, r, edit)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, kernel.AccessOf(r).Base+"/size?done=size", http.StatusSeeOther)
	return nil
}
