package begin

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/shape"
	"tuckring/internal/solid"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// A solid is sent once and kept for a while (keepSolid); the page of it (/new/solid/{key}) shows what its settings, which stand in
// the address, make of it, and takes it.

// mostSolid is how large a solid may be that is sent, with the files it names, in bytes.
const mostSolid = 64 << 20

// solidNames are what the fields of the page of a solid are called.
var solidNames = func() map[string]words.Text {
	out := maps.Clone(newNames)
	maps.Copy(out, map[string]words.Text{
		"file": words.T("begin.solid.file"), "around": words.T("begin.solid.around"), "up": words.T("begin.solid.up"), "turn": words.T("begin.solid.turn"),
		ofFigure: words.T("begin.door.solid"),
	})
	return out
}()

// usualHeight is the height of a figure that begins with a solid, in cm, until its maker says another.
const usualHeight = "25"

// keepSolid takes a solid, and leads to the page of it.
func (s *room) keepSolid(w http.ResponseWriter, r *http.Request) error {
	form, files, err := readSent(r, solidNames)
	if err != nil {
		return err
	}
	return s.InTurn(func(w http.ResponseWriter, r *http.Request) error {
		refused := func(why words.Text) error {
			form.Refuse("file", why)
			return s.render(w, r, http.StatusUnprocessableEntity, Start{Door: doorOf("solid"), Form: form})
		}
		main := mainFile(files)
		if main < 0 {
			return refused(words.T("begin.solid.none"))
		}
		mesh, err := solid.Read(r.Context(), files[main].data, beside(files))
		var why words.Text
		if errors.As(err, &why) {
			return refused(why)
		}
		if err != nil {
			return err
		}
		title := strings.TrimSpace(form.Value("title"))
		if title == "" {
			title = strings.TrimSuffix(files[main].name, path.Ext(files[main].name))
		}
		key := s.solids.keep(files, mesh, time.Now())
		q := url.Values{"title": {title}, "height": {usualHeight}, "edges": {"yes"}}
		if err := suited(r.Context(), kernel.Speaker(r), mesh, q); err != nil {
			return err
		}
		http.Redirect(w, r, "/new/solid/"+key+"?"+q.Encode(), http.StatusSeeOther)
		return nil
	})(w, r)
}

// bareName is a file's name without folders, of whichever system.
func bareName(name string) string { return path.Base(strings.ReplaceAll(name, `\`, "/")) }

// mainFile is the file that is the solid itself, by the ending of its name, else the first; −1 where there is none.
func mainFile(files []sentFile) int {
	at := slices.IndexFunc(files, func(f sentFile) bool {
		return slices.Contains([]string{".stl", ".obj", ".ply", ".glb"}, strings.ToLower(path.Ext(f.name)))
	})
	if at < 0 && len(files) > 0 {
		return 0
	}
	return at
}

func beside(files []sentFile) solid.Beside {
	return func(name string) ([]byte, error) {
		for _, f := range files {
			if strings.EqualFold(f.name, name) {
				return f.data, nil
			}
		}
		return nil, errors.New("not sent")
	}
}

// suited chooses the ready papers that suit a solid best, those that most units would have first, into a form's values. It fails
// only where nobody waits any more.
func suited(ctx context.Context, say *words.Speaker, mesh *solid.Mesh, to url.Values) error {
	const most, least = 6, 0.02
	to.Set("ground", Beginning["ground"][0])
	to["papers"] = Beginning["papers"]
	height, _ := strconv.ParseFloat(usualHeight, 64)
	r, err := solid.Make(ctx, mesh, solid.Options{Title: "-", HeightMM: 10 * height, Papers: readyPapers(say), Edges: true})
	if err != nil || !r.Coloured {
		return ctx.Err()
	}
	counts := r.Figure.CountByColour()
	order := make([]int, len(counts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return counts[b].InRings - counts[a].InRings })
	to.Set("ground", r.Figure.Colours[order[0]].ID)
	to["papers"] = nil
	for _, i := range order[:min(most, len(order))] {
		if float64(counts[i].InRings) >= least*float64(r.Figure.Units()) {
			to.Add("papers", r.Figure.Colours[i].ID)
		}
	}
	return nil
}

// SolidPage is what the page of a solid shows.
type SolidPage struct {
	Key    string
	Query  string // of the address, for what the page asks for
	Form   *kernel.Form
	Kind   string
	Usual  solid.Up
	Many   int           // triangles
	Result *solid.Result // nil where something is wrong
	Wide   string        // cm
	High   string        // cm
	Widest int
	Papers string // colours of the figure, as the page's script reads them
}

// solidOptions reads the settings of the page; nil where something is wrong.
func (s *room) solidOptions(say *words.Speaker, form *kernel.Form) *solid.Options {
	o := &solid.Options{Title: readTitle(form), HeightMM: 10 * readCM(form, "height"), Edges: form.Has("edges", "yes")}
	if strings.TrimSpace(form.Value("around")) != "" {
		o.Units = form.Whole("around", outline.LeastUnits, figure.MaxUnits)
	}
	if up := solid.Up(form.Value("up")); up != "" {
		if o.Up = up; !slices.Contains(solid.Ups, up) {
			form.Refuse("up", words.T("web.form.choose"))
		}
	}
	if typed := form.Value("turn"); strings.TrimSpace(typed) != "" {
		v, ok := kernel.Decimal(typed)
		if o.Turn = v; !ok || math.Abs(v) > 360 {
			form.Refuse("turn", words.T("begin.solid.degrees"))
		}
	}
	for _, v := range form.Values["limb"] {
		if i, err := strconv.Atoi(v); err == nil {
			o.Limbs = append(o.Limbs, i)
		}
	}
	o.Papers = readPapers(say, form)
	if !form.OK() {
		return nil
	}
	return o
}

// solidOf is the solid of an address, or the problem that it is no longer kept.
func (s *room) solidOf(r *http.Request) (*keptSolid, string, error) {
	key := strings.Split(strings.TrimPrefix(r.URL.Path, "/new/solid/"), "/")[0]
	if k := s.solids.find(key, time.Now()); k != nil {
		return k, key, nil
	}
	return nil, key, kernel.NewProblem(wire.CodeNotFound, "solid.gone")
}

// ofFigure stands for the figure as a whole where no setting is to blame that there is none.
const ofFigure = "solid-result"

// blamed is the setting that a refusal is about.
func blamed(why words.Text, form *kernel.Form) string {
	switch why.Key {
	case "solid.low", "solid.tall", "solid.wide", "solid.many":
		if strings.TrimSpace(form.Value("around")) != "" { // how large a unit is follows from it
			return "around"
		}
		return "height"
	case "solid.height":
		return "height"
	case "solid.units", "solid.units.paper":
		return "around"
	case "solid.up", "solid.flat":
		return "up"
	case "solid.turn":
		return "turn"
	}
	return ofFigure
}

// solid makes the figure of a solid as a form says; what is wrong is noted in the form.
func (s *room) solid(r *http.Request, k *keptSolid, form *kernel.Form) (*solid.Result, error) {
	o := s.solidOptions(kernel.Speaker(r), form)
	if o == nil {
		return nil, nil
	}
	hand, err := s.hand(r.Context())
	if err != nil {
		return nil, err
	}
	o.Gauge = hand.gauge
	made, err := k.make(r.Context(), *o, fmt.Sprint(url.Values(form.Values).Encode(), hand))
	var why words.Text
	var faults figure.Faults
	switch {
	case errors.As(err, &why):
		form.Refuse(blamed(why, form), why)
	case errors.As(err, &faults):
		form.Refuse(ofFigure, faults[0].What, faults[0].Fix)
	case err != nil:
		return nil, err
	}
	return made, nil
}

// showSolid shows what the settings in the address make of a solid.
func (s *room) showSolid(w http.ResponseWriter, r *http.Request) error {
	k, key, err := s.solidOf(r)
	if err != nil {
		return err
	}
	return s.InTurn(func(w http.ResponseWriter, r *http.Request) error {
		form := kernel.NewForm(r.URL.Query(), solidNames)
		made, err := s.solid(r, k, form)
		if err != nil {
			return err
		}
		status := http.StatusOK
		if made == nil {
			status = http.StatusUnprocessableEntity
		}
		return s.renderSolid(w, r, status, k, key, form, made)
	})(w, r)
}

func (s *room) renderSolid(w http.ResponseWriter, r *http.Request, status int, k *keptSolid, key string, form *kernel.Form, made *solid.Result) error {
	v := SolidPage{Key: key, Query: url.Values(form.Values).Encode(), Form: form, Kind: string(k.mesh.Kind), Usual: k.mesh.Kind.UsualUp(), Many: k.mesh.InFile, Result: made}
	if made != nil {
		size := shape.Estimate(made.Figure, made.Gauge)
		v.High, v.Wide = inCM(size.Height.Best), inCM(size.Diameter.Best)
		for _, ring := range made.Rings {
			v.Widest = max(v.Widest, ring.Units)
		}
		hexes := make([]string, len(made.Figure.Colours))
		for i, c := range made.Figure.Colours {
			hexes[i] = c.Hex
		}
		v.Papers = strings.Join(hexes, " ")
	}
	page := s.NewPage(r, kernel.Speaker(r).T("begin.solid.title"))
	page.Styles, page.Scripts = []string{"begin"}, []string{"begin-solid"}
	page.Client = true
	return kernel.Render(w, r, status, Solid(page, v))
}

// solidStands sends how the figure of the settings in the address would stand.
func (s *room) solidStands(w http.ResponseWriter, r *http.Request) error {
	return s.solidBytes(w, r, func(made *solid.Result) ([]byte, error) {
		p := shape.Place(made.Figure, made.Gauge)
		return common.Places(made.Figure, p, 0, []words.Text{}, kernel.Speaker(r))
	})
}

// solidMesh sends the solid itself, as it stands by that figure, light enough to be drawn.
func (s *room) solidMesh(w http.ResponseWriter, r *http.Request) error {
	return s.solidBytes(w, r, func(made *solid.Result) ([]byte, error) { return made.Light().Append(nil), nil })
}

func (s *room) solidBytes(w http.ResponseWriter, r *http.Request, what func(*solid.Result) ([]byte, error)) error {
	k, _, err := s.solidOf(r)
	if err != nil {
		return err
	}
	return s.InTurn(func(w http.ResponseWriter, r *http.Request) error {
		made, err := s.solid(r, k, kernel.NewForm(r.URL.Query(), solidNames))
		if err != nil {
			return err
		}
		if made == nil {
			return kernel.NewProblem(wire.CodeInvalid, "form")
		}
		data, err := what(made)
		if err != nil {
			return err
		}
		w.Header().Set("Content-Type", "application/octet-stream")
		_, _ = w.Write(data) // the reader may be gone; nothing is left to do then
		return nil
	})(w, r)
}

// takeSolid puts the figure of a solid on the shelf.
func (s *room) takeSolid(w http.ResponseWriter, r *http.Request) error {
	k, key, err := s.solidOf(r)
	if err != nil {
		return err
	}
	return s.InTurn(func(w http.ResponseWriter, r *http.Request) error {
		if err := r.ParseForm(); err != nil {
			return kernel.CutShort(err)
		}
		form := kernel.NewForm(r.PostForm, solidNames)
		made, err := s.solid(r, k, form)
		if err != nil {
			return err
		}
		if made == nil {
			return s.renderSolid(w, r, http.StatusUnprocessableEntity, k, key, form, nil)
		}
		hand, err := s.hand(r.Context())
		if err != nil {
			return err
		}
		return s.keep(w, r, made.Figure.Clone(), hand.settings(made.Figure.Unit).Write())
	})(w, r)
}

// solids are those that were sent: the last few, and none for longer than it is used.
type solids struct {
	mu   sync.Mutex
	kept map[string]*keptSolid
}

// keptSolid is a solid with the figure that was made of it last, or why none was.
type keptSolid struct {
	mesh *solid.Mesh
	used time.Time

	mu   sync.Mutex
	last string // its settings
	made *solid.Result
	err  error
}

const (
	keepSolids = 3
	keepUnused = 30 * time.Minute
)

// keep puts a solid there, and gives the key that it is found by: the same for the same files.
func (k *solids) keep(files []sentFile, mesh *solid.Mesh, now time.Time) string {
	sum := sha256.New()
	for _, f := range files {
		_, _ = io.WriteString(sum, f.name+"\n"+strconv.Itoa(len(f.data))+"\n") // a hash takes everything
		_, _ = sum.Write(f.data)
	}
	key := hex.EncodeToString(sum.Sum(nil)[:12])
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.kept == nil {
		k.kept = map[string]*keptSolid{}
	}
	k.kept[key] = &keptSolid{mesh: mesh, used: now}
	oldest := slices.SortedFunc(maps.Keys(k.kept), func(a, b string) int { return k.kept[a].used.Compare(k.kept[b].used) })
	for i, key := range oldest {
		if i < len(oldest)-keepSolids || now.Sub(k.kept[key].used) > keepUnused {
			delete(k.kept, key)
		}
	}
	return key
}

// find gives a solid that was sent, nil where it is gone.
func (k *solids) find(key string, now time.Time) *keptSolid {
	k.mu.Lock()
	defer k.mu.Unlock()
	found := k.kept[key]
	if found != nil {
		found.used = now
	}
	return found
}

// make makes the figure of settings, or gives the one that was made of the same last.
func (k *keptSolid) make(ctx context.Context, o solid.Options, settings string) (*solid.Result, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.last != settings || k.made == nil && k.err == nil {
		made, err := solid.Make(ctx, k.mesh, o)
		if gone := ctx.Err(); gone != nil {
			return nil, gone // what broke off says nothing of the solid
		}
		k.made, k.err, k.last = made, err, settings
	}
	return k.made, k.err
}
