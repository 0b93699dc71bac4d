package paper

import (
	"encoding/json"
	"math"
	"slices"
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

// Layout is the best edge-to-edge layout of one sheet: most units, then fewest cuts, then fewest stop
// settings. It is never changed once made.
type Layout struct {
	Cutting     Cutting
	PerSheet    int     // units; also the bound: no edge-to-edge layout holds more
	AreaBound   int     // units that the area alone would allow
	Used        float64 // share of the whole sheet's area that becomes units, 0 to 1
	Cuts        int     // cuts of one sheet, those that trim the margin included
	StopsMM     []float64
	StopsProven bool // no best layout with so few cuts needs fewer stop settings
	Pieces      []Place
	Offcuts     []Offcut
	Tree        *Node
	Steps       []Step

	root  *stem
	mu    sync.Mutex // guards least of the stems
	ruler ruler
}

// Place is where a unit lies on the sheet: its lower left corner and size in mm.
type Place struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"w"`
	H float64 `json:"h"`
}

// Best works out the best layout. It fails with figure.Faults when the question makes no sense, the
// unit does not fit, or there would be more units to a sheet than the search takes on.
func Best(c Cutting) (*Layout, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	if l, ok := recent.get(c); ok {
		return l, nil
	}
	t, err := c.table()
	if err != nil {
		return nil, err
	}
	n := newNet(t)
	w, h := c.rootTicks()
	root := n.knot(w, h)
	stops, proven := n.fewestStops(root)
	l := &Layout{Cutting: c, PerSheet: root.units, StopsProven: proven, ruler: c.ruler()}
	l.root = n.stems(root, stops)
	l.AreaBound = c.areaBound()
	l.Used = float64(root.units) * c.LongMM * c.ShortMM / (c.Sheet.WidthMM * c.Sheet.HeightMM)
	whole := l.part(root.units)
	l.Cuts, l.Tree, l.Steps, l.Offcuts = whole.Cuts, whole.Tree, whole.Steps, whole.Offcuts
	l.Pieces = whole.Tree.units([]Place{})
	l.StopsMM = stopsOf(l.Steps)
	recent.put(c, l)
	return l, nil
}

// Count works out only how many units a sheet holds: the number of Best, in less time.
func Count(c Cutting) (int, error) {
	if err := c.Validate(); err != nil {
		return 0, err
	}
	t, err := c.table()
	if err != nil {
		return 0, err
	}
	return unitsOf(t.score(c.rootTicks())), nil
}

// table fills the table of scores. The kerf is added once to every length (see the package's
// comment).
func (c Cutting) table() (*table, error) {
	long, short := c.unitTicks()
	w, h := c.usableTicks()
	k := toTicks(c.KerfMM)
	if c.areaBound() <= maxUnits {
		if t, ok := newTable(long+k, short+k, w+k, h+k); ok {
			return t, nil
		}
	}
	return nil, figure.Faults{fault("unit", words.T("paper.unit.fine"), words.T("paper.unit.fewer"))}
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

// Proof says in words why no other layout holds more.
func (l *Layout) Proof() words.Text {
	if l.PerSheet == l.AreaBound {
		return words.T("paper.bound.area", "Bound", l.PerSheet)
	}
	return words.T("paper.bound", "Bound", l.PerSheet, "Area", l.AreaBound)
}

// Summary says the layout in one sentence.
func (l *Layout) Summary() words.Text {
	return words.T("paper.layout", "Count", l.PerSheet, "Sheet", l.Cutting.Sheet.Label(),
		"Unit", mm(l.Cutting.LongMM)+" × "+mm(l.Cutting.ShortMM), "Used", strconv.FormatFloat(l.Used*100, 'f', 1, 64),
		"Cuts", words.T("paper.layout.cuts", "Count", l.Cuts), "Stops", words.T("paper.layout.stops", "Count", len(l.StopsMM)))
}

// StopsProof says whether fewer stop settings could do.
func (l *Layout) StopsProof() words.Text {
	if l.StopsProven {
		return words.T("paper.stops.proven")
	}
	return words.T("paper.stops.found")
}

// MarshalJSON writes what `tuckring cut --json` promises; the share used is rounded to three
// decimals.
func (l *Layout) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		PerSheet int     `json:"per_sheet"`
		Used     float64 `json:"used"`
		Pieces   []Place `json:"pieces"`
		Steps    []Step  `json:"steps"`
	}{l.PerSheet, math.Round(l.Used*1000) / 1000, l.Pieces, l.Steps})
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

// memory keeps recent layouts, since a page asks for the same few again and again.
type memory struct {
	mu     sync.Mutex
	by     map[Cutting]*Layout
	recent []Cutting
}

const remembered = 64

var recent = memory{by: map[Cutting]*Layout{}}

func (m *memory) get(c Cutting) (*Layout, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	l, ok := m.by[c]
	return l, ok
}

func (m *memory) put(c Cutting, l *Layout) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, ok := m.by[c]; ok {
		return
	}
	if len(m.recent) == remembered {
		delete(m.by, m.recent[0])
		m.recent = slices.Delete(m.recent, 0, 1)
	}
	m.by[c] = l
	m.recent = append(m.recent, c)
}
