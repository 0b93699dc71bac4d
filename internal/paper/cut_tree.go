package paper

import (
	"tuckring/internal/words"
)

// Node is one piece on the way from the sheet to the units: a unit, an offcut, or a piece that is cut
// in two. Positions and sizes in mm from the sheet's lower left corner.
type Node struct {
	Place
	Kind   NodeKind
	Units  int
	Along  string // cut: "x" if the stop measures along the width, "y" along the height
	StopMM float64
	Step   int     // cut: the number of the step that makes it, from 1
	Parts  []*Node // cut: the parts of which something is left, left or lower one first
}

// NodeKind says what becomes of a piece.
type NodeKind string

// A piece is cut on, or it is a unit, or waste, or it is spare paper that holds units but was not
// needed.
const (
	CutNode    NodeKind = "cut"
	UnitNode   NodeKind = "unit"
	OffcutNode NodeKind = "offcut"
	SpareNode  NodeKind = "spare"
)

// Part is one sheet cut only as far as needed.
type Part struct {
	Units   int // units freed, at least as many as asked for
	Cuts    int
	Tree    *Node
	Steps   []CutStep
	Offcuts []Offcut // what is left, the largest first
}

// Part plans cutting one sheet only until at least `units` units are free, with as few cuts of the
// layout as possible. It fails when the layout holds fewer, or units is negative.
func (l *Layout) Part(units int) (Part, error) {
	if units < 0 || units > l.PerSheet {
		return Part{}, fault("units", words.T("paper.part.bad", "Found", units), words.T("paper.part.allowed", "Most", l.PerSheet))
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.part(units), nil
}

// stage is a kind of piece in a plan: a stem of which `need` units are to be freed.
type stage struct {
	*stem
	need int
}

// done says that the piece is not cut: nothing is needed of it, or it is a leaf.
func (s stage) done() bool { return s.leaf() || s.need == 0 }

func (s stage) parts() (part, rest stage) {
	a := s.share(s.need)
	return stage{s.part, a}, stage{s.rest, s.need - a}
}

func (l *Layout) part(units int) Part {
	steps, numbers := l.steps(stage{l.root, units})
	g := grower{ruler: l.ruler, numbers: numbers}
	tree, cuts := g.sheet(l, stage{l.root, units})
	p := Part{Cuts: cuts, Tree: tree, Steps: steps}
	p.Offcuts = tree.offcuts()
	p.Units = len(tree.units(nil))
	return p
}

// grower lays a plan out on the sheet.
type grower struct {
	ruler
	cuts    int
	numbers map[stage]int // of the steps that take up the stages
}

// going is a step under way: its number, and how many more of its cuts the rest of a piece gets.
type going struct{ number, cuts int }

// sheet starts with the whole sheet: the left margin and the lower one come off first.
func (g *grower) sheet(l *Layout, s stage) (tree *Node, cuts int) {
	w, h := toTicks(l.Cutting.Sheet.WidthMM), toTicks(l.Cutting.Sheet.HeightMM)
	rw, rh := l.Cutting.rootTicks()
	m := g.margin
	if m == 0 || s.done() {
		tree = g.grow(s, going{}, 0, 0, rw, rh)
		if m > 0 {
			tree.Place = place(0, 0, w, h)
		}
		return tree, g.cuts
	}
	inner := g.grow(s, going{}, m, m, rw, rh)
	upper := g.trim(2, "y", place(m, 0, w-m, h), place(m, 0, w-m, m-g.kerf), inner)
	outer := g.trim(1, "x", place(0, 0, w, h), place(0, 0, m-g.kerf, h), upper)
	return outer, g.cuts
}

// trim is the cut that takes a margin off before the kept piece.
func (g *grower) trim(step int, along string, whole, off Place, kept *Node) *Node {
	g.cuts++
	n := &Node{Place: whole, Kind: CutNode, Units: kept.Units, Along: along, StopMM: kept.H, Step: step}
	if along == "x" {
		n.StopMM = kept.W
	}
	if off.W > 0 && off.H > 0 {
		n.Parts = append(n.Parts, &Node{Place: off, Kind: OffcutNode})
	}
	n.Parts = append(n.Parts, kept)
	return n
}

// grow lays the stage out with its lower left corner at x, y (real ticks); w and h are its sides
// with the kerf, in the orientation on the sheet. on is the step that goes on in it, if one does.
func (g *grower) grow(s stage, on going, x, y, w, h int64) *Node {
	n := &Node{Place: place(x, y, g.real(w), g.real(h)), Units: s.units, Kind: g.kind(s)}
	if s.done() {
		return n
	}
	n.Kind = CutNode
	g.cuts++
	part, rest := s.parts()
	n.StopMM = fromTicks(s.stop - g.kerf)
	if on.cuts == 0 {
		on = going{g.numbers[s], len(s.run().parts)}
	}
	n.Step = on.number
	on.cuts--
	if alongWidth := s.alongH == (w > h); alongWidth {
		n.Along = "x"
		g.attach(n, part, going{}, x, y, s.stop, h)
		g.attach(n, rest, on, x+s.stop, y, w-s.stop, h)
	} else {
		n.Along = "y"
		g.attach(n, part, going{}, x, y, w, s.stop)
		g.attach(n, rest, on, x, y+s.stop, w, h-s.stop)
	}
	return n
}

func (g *grower) attach(n *Node, s stage, on going, x, y, w, h int64) {
	if g.real(w) > 0 && g.real(h) > 0 {
		n.Parts = append(n.Parts, g.grow(s, on, x, y, w, h))
	}
}

func (g *grower) kind(s stage) NodeKind {
	switch {
	case s.units == 0:
		return OffcutNode
	case s.leaf():
		return UnitNode
	}
	return SpareNode
}

func place(x, y, w, h int64) Place {
	return Place{X: fromTicks(x), Y: fromTicks(y), W: fromTicks(w), H: fromTicks(h)}
}

// units lists the places of the units under n, appended to list.
func (n *Node) units(list []Place) []Place {
	if n.Kind == UnitNode {
		return append(list, n.Place)
	}
	for _, p := range n.Parts {
		list = p.units(list)
	}
	return list
}
