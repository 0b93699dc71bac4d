package paper

import (
	"context"
	"encoding/json"
	"math"
	"strconv"
	"sync"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Cutting is a question to the trimmer: how many units of LongMM × ShortMM does one sheet give?
type Cutting struct {
	Sheet    Sheet
	LongMM   float64 // mm; long and short may be given in either order
	ShortMM  float64 // mm
	MarginMM float64 // unprinted border, trimmed from all four sides
	KerfMM   float64 // width lost at every cut
}

// MaxPerSheet is the most units of a sheet that are worked out: as many as the largest figure has.
const MaxPerSheet = figure.MaxAllUnits

// MaxKerfMM is the widest blade loss taken for real; paper blades lose next to nothing.
const MaxKerfMM = 10.0

// ForUnit asks how a sheet is cut for a figure's unit, without margin and kerf.
func ForUnit(s Sheet, u figure.Unit) Cutting {
	return Cutting{Sheet: s, LongMM: u.LongMM, ShortMM: u.ShortMM}
}

// Validate lists everything wrong with the question, as figure.Faults at "sheet", "unit", "margin" and
// "kerf".
func (c Cutting) Validate() error {
	var faults figure.Faults
	add := func(where string, what, fix words.Text) { faults = append(faults, fault(where, what, fix)) }
	if err := c.Sheet.Validate(); err != nil {
		faults = append(faults, err.(figure.Fault))
	}
	for _, side := range []float64{c.LongMM, c.ShortMM} {
		if !within(side, figure.MinUnitMM, figure.MaxUnitMM) {
			add("unit", words.T("paper.unit.side", "Found", mm(side)),
				words.T("paper.range", "Low", mm(figure.MinUnitMM), "High", mm(figure.MaxUnitMM)))
		}
	}
	if !within(c.KerfMM, 0, MaxKerfMM) {
		add("kerf", words.T("paper.kerf.bad", "Found", mm(c.KerfMM)), words.T("paper.range", "Low", "0", "High", mm(MaxKerfMM)))
	}
	most := min(c.Sheet.WidthMM, c.Sheet.HeightMM) / 2
	if !(c.MarginMM >= 0 && c.MarginMM < most) {
		add("margin", words.T("paper.margin.bad", "Found", mm(c.MarginMM)), words.T("paper.margin.allowed", "Most", mm(most)))
	}
	if faults == nil && !c.fits() {
		add("unit", words.T("paper.unit.large", "Unit", mm(c.LongMM)+" × "+mm(c.ShortMM), "Sheet", c.usable()),
			words.T("paper.unit.smaller"))
	}
	if faults == nil {
		return nil
	}
	return faults
}

func (c Cutting) fits() bool {
	w, h := c.usableTicks()
	long, short := c.unitTicks()
	return short <= min(w, h) && long <= max(w, h)
}

func (c Cutting) usableTicks() (w, h int64) {
	m := 2 * toTicks(c.MarginMM)
	return toTicks(c.Sheet.WidthMM) - m, toTicks(c.Sheet.HeightMM) - m
}

func (c Cutting) usable() string {
	w, h := c.usableTicks()
	return mm(fromTicks(w)) + " × " + mm(fromTicks(h))
}

func (c Cutting) unitTicks() (long, short int64) {
	a, b := toTicks(c.LongMM), toTicks(c.ShortMM)
	return max(a, b), min(a, b)
}

// Layout is the best edge-to-edge layout of one sheet that was found: most units, then fewest cuts, then fewest
// stop settings. It is never changed once made.
type Layout struct {
	Cutting     Cutting
	PerSheet    int     // units
	Bound       int     // no edge-to-edge layout holds more
	Exact       bool    // PerSheet is Bound: proven to be the most
	Weighed     bool    // all layouts were weighed, so that Cuts is the fewest for as many units; else the best of strips
	AreaBound   int     // units that the area alone would allow
	Used        float64 // share of the whole sheet's area that becomes units, 0 to 1
	Cuts        int     // cuts of one sheet, those that trim the margin included
	StopsMM     []float64
	StopsSet    int  // times the stop is set in Steps; a setting that comes up again later counts again
	StopsProven bool // no best layout with so few cuts needs fewer stop settings, none of them for an offcut
	Pieces      []Place
	Offcuts     []Offcut
	Tree        *Node
	Steps       []CutStep

	filled   int  // work of filling the table, also where it came to nothing
	searched int  // with that for the fewest stops
	short    bool // the work that its order shares was used up
	root     *stem
	mu       sync.Mutex // guards least and some of the stems
	ruler    ruler
}

// Place is where a unit lies on the sheet: its lower left corner and size in mm.
type Place struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"w"`
	H float64 `json:"h"`
}

// Best works out the best layout. It fails with figure.Faults when the question makes no sense, the
// unit does not fit, or a sheet would give more than MaxPerSheet units; and with ctx's error when ctx ends first.
// The same question has the same answer on any machine; in a context of Together the same questions in the same order have.
func Best(ctx context.Context, c Cutting) (*Layout, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	a := allowanceOf(ctx)
	if l, ok := a.known(c); ok {
		return l, nil
	}
	l, err := c.best(ctx, a)
	if err == nil {
		a.keep(c, l)
	}
	return l, err
}

// best takes a layout from memory where there is one that what is left of the work allows, or makes one.
func (c Cutting) best(ctx context.Context, a *allowance) (*Layout, error) {
	l, ok := recent.get(question{c, false})
	if ok && a.takes(l.filled) {
		a.spend(l.searched)
		return l, nil
	}
	if a.spent() {
		if l, ok := recent.get(question{c, true}); ok {
			return l, nil
		}
	}
	if ctx.Value(rememberedKey{}) != nil {
		return nil, ErrNotRemembered
	}
	s, err := c.solve(ctx)
	if err != nil {
		return nil, err
	}
	if l, err = c.lay(ctx, s); err == nil {
		a.spend(l.searched - l.filled)
		recent.put(question{c, l.short}, l)
	}
	return l, err
}

// lay makes the layout of a solution. The error is that of ctx.
func (c Cutting) lay(ctx context.Context, s solution) (*Layout, error) {
	l := &Layout{Cutting: c, PerSheet: s.units, Bound: s.bound, Exact: s.units == s.bound, Weighed: s.table != nil, ruler: c.ruler(),
		filled: s.work, short: s.short}
	stopWork, err := 0, error(nil)
	if l.root, l.StopsProven, stopWork, err = s.root(ctx, c); err != nil {
		return nil, err
	}
	l.searched = s.work + stopWork
	l.AreaBound = c.areaBound()
	l.Used = float64(l.PerSheet) * c.LongMM * c.ShortMM / (c.Sheet.WidthMM * c.Sheet.HeightMM)
	whole := l.part(l.PerSheet)
	l.Cuts, l.Tree, l.Steps, l.Offcuts = whole.Cuts, whole.Tree, whole.Steps, whole.Offcuts
	l.Pieces = whole.Tree.units(make([]Place, 0, l.PerSheet))
	l.StopsMM, l.StopsSet = stopsOf(l.Steps)
	return l, nil
}

// Count works out only how many units a sheet holds: the number of Best, in less time. It fails as Best.
func Count(ctx context.Context, c Cutting) (int, error) {
	if err := c.Validate(); err != nil {
		return 0, err
	}
	s, err := c.count(ctx)
	return s.units, err
}

// count is the solution of a valid question without its cuts, or what is known of it.
func (c Cutting) count(ctx context.Context) (solution, error) {
	a := allowanceOf(ctx)
	if l, ok := a.known(c); ok {
		return solution{units: l.PerSheet, bound: l.Bound}, nil
	}
	if l, ok := recent.get(question{c, false}); ok && a.takes(l.filled) {
		a.spend(l.filled)
		return solution{units: l.PerSheet, bound: l.Bound, work: l.filled}, nil
	}
	return c.solve(ctx)
}

// solution is how many units a sheet gives, what it cannot give more of, and the table it was read from: nil for
// the best of strips.
type solution struct {
	units, bound int
	table        *table
	strips       *strips
	work         int  // as table.work
	short        bool // not all layouts were weighed since the shared work was used up
}

// solve counts the units of a valid question. The kerf is added once to every length (see the package's
// comment). It fails with figure.Faults when there are too many units, or with ctx's error.
func (c Cutting) solve(ctx context.Context) (solution, error) {
	if n := c.areaBound(); n > MaxPerSheet {
		return solution{}, figure.Faults{fault("unit", words.T("paper.unit.fine", "Found", n), words.T("paper.unit.fewer", "Most", MaxPerSheet))}
	}
	long, short := c.unitTicks()
	w, h := c.usableTicks()
	k := toTicks(c.KerfMM)
	work, ranShort := 0, false
	if c.areaBound() <= maxWeighed {
		a := allowanceOf(ctx)
		limit := a.limit()
		t, ok, err := newTable(ctx, long+k, short+k, w+k, h+k, limit)
		if err != nil {
			return solution{}, err
		}
		if t != nil {
			work = min(t.work, limit)
			a.spend(work)
		}
		if ok {
			n := unitsOf(t.score(c.rootTicks()))
			return solution{units: n, bound: n, table: t, work: work}, nil
		}
		ranShort = t != nil && limit < maxWork
		if ranShort {
			a.spend(limit)
		}
	}
	s, err := c.inStrips(ctx)
	s.work, s.short = work, ranShort
	return s, err
}

// inStrips is the best layout in strips. The error is that of ctx.
func (c Cutting) inStrips(ctx context.Context) (solution, error) {
	long, short := c.unitTicks()
	k := toTicks(c.KerfMM)
	s := newStrips(long+k, short+k)
	w, h := c.rootTicks()
	n, err := s.most(ctx, w, h)
	return solution{units: n, bound: bound(long+k, short+k, w, h), strips: s}, err
}

// stopLook is the work of looking at one cut for the fewest stops, in strips tried (measured).
const stopLook = 3

// root is the tree of cuts, whether it needs the fewest stop settings, and the work to find them. The error is that
// of ctx.
func (s solution) root(ctx context.Context, c Cutting) (root *stem, stopsProven bool, work int, err error) {
	w, h := c.rootTicks()
	if s.table == nil {
		root, err = s.strips.stem(ctx, w, h)
		return root, false, 0, err
	}
	margin := toTicks(c.MarginMM) > 0
	n := newNet(s.table, margin)
	whole := n.knot(w, h)
	stops, proven := n.fewestStops(whole)
	return n.stems(whole, stops), proven && !margin, stopLook * n.work, ctx.Err()
}

// rootTicks is the sheet once the left and lower margin are cut off. The right and upper margin are
// still there: one odd tick stands for each, so that it has to be trimmed, or goes with other waste.
func (c Cutting) rootTicks() (w, h int64) {
	w, h = c.usableTicks()
	k := toTicks(c.KerfMM)
	if toTicks(c.MarginMM) > 0 {
		k++
	}
	return w + k, h + k
}

func (c Cutting) areaBound() int {
	w, h := c.usableTicks()
	long, short := c.unitTicks()
	return int(fromTicks(w) * fromTicks(h) / fromTicks(long) / fromTicks(short) * (1 + 1e-12))
}

// Uncut says that the sheet is one unit as it comes.
func (l *Layout) Uncut() bool { return l.Cuts == 0 }

// Proof says in words why no other layout holds more, or how many more one might hold.
func (l *Layout) Proof() words.Text {
	switch {
	case !l.Exact:
		key := "paper.bound.open"
		if l.short {
			key = "paper.bound.short"
		}
		share := float64(l.Bound-l.PerSheet) / float64(l.PerSheet)
		return words.T(key, "Count", l.Bound-l.PerSheet, "Bound", l.Bound, "Percent", strconv.FormatFloat(share*100, 'g', 2, 64))
	case l.PerSheet == l.AreaBound:
		return words.T("paper.bound.area", "Bound", l.PerSheet)
	case !l.Weighed:
		return words.T("paper.bound.reached", "Bound", l.PerSheet)
	}
	return words.T("paper.bound", "Bound", l.PerSheet, "Area", l.AreaBound)
}

// Summary says the layout in one sentence.
func (l *Layout) Summary() words.Text {
	if l.Uncut() {
		return words.T("paper.layout.uncut", "Sheet", l.Cutting.Sheet.Label())
	}
	return words.T("paper.layout", "Count", l.PerSheet, "Sheet", l.Cutting.Sheet.Label(),
		"Unit", mm(l.Cutting.LongMM)+" × "+mm(l.Cutting.ShortMM), "Used", l.usedText(),
		"Cuts", words.T("paper.layout.cuts", "Count", l.Cuts), "Stops", l.stopsText())
}

// usedText is the share used in percent. All of the paper is said to be used only where nothing is left.
func (l *Layout) usedText() words.Text {
	text := strconv.FormatFloat(l.Used*100, 'f', 1, 64)
	if text == "100.0" && len(l.Offcuts) > 0 {
		return words.T("paper.layout.used.nearly")
	}
	return words.T("paper.layout.used", "Percent", text)
}

// stopsText says how often the stop is set, and to how many settings if some come up again.
func (l *Layout) stopsText() words.Text {
	if l.StopsSet == len(l.StopsMM) {
		return words.T("paper.layout.stops", "Count", l.StopsSet)
	}
	return words.T("paper.layout.stops.again", "Count", len(l.StopsMM), "Times", l.StopsSet)
}

// StopsProof says whether fewer stop settings could do.
func (l *Layout) StopsProof() words.Text {
	switch {
	case l.StopsProven:
		return words.T("paper.stops.proven")
	case l.Weighed:
		return words.T("paper.stops.found")
	}
	return words.T("paper.stops.open")
}

// MarshalJSON writes what `tuckring cut --json` promises, with what no layout holds more than ("bound") and
// whether this one holds as much ("exact"); the share used is rounded to three decimals.
func (l *Layout) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		PerSheet int       `json:"per_sheet"`
		Bound    int       `json:"bound"`
		Exact    bool      `json:"exact"`
		Used     float64   `json:"used"`
		Pieces   []Place   `json:"pieces"`
		Steps    []CutStep `json:"steps"`
	}{l.PerSheet, l.Bound, l.Exact, l.usedShare(), l.Pieces, l.Steps})
}

// usedShare is the share used to three decimals; 1 only where nothing is left.
func (l *Layout) usedShare() float64 {
	used := math.Round(l.Used*1000) / 1000
	if len(l.Offcuts) > 0 {
		return min(used, 0.999)
	}
	return used
}

func fromTicks(t int64) float64 { return float64(t/2) / 1e6 }

// ruler turns ticks of the solver into the paper's real lengths.
type ruler struct{ kerf, margin int64 }

func (c Cutting) ruler() ruler { return ruler{toTicks(c.KerfMM), toTicks(c.MarginMM)} }

// real takes the kerf off a length, and puts the margin in the place of the odd tick. It is not positive
// when nothing of the paper is left.
func (r ruler) real(t int64) int64 {
	if t%2 != 0 {
		return t - 1 - r.kerf + r.margin
	}
	return t - r.kerf
}
