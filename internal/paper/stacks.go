package paper

import (
	"math"
	"slices"

	"tuckring/internal/words"
)

// Job is the cutting of one colour: Units from sheets of one layout. ThicknessMM is that of one sheet.
type Job struct {
	Colour      string
	Layout      *Layout
	Units       int
	ThicknessMM float64
	Part        bool // from part-used sheets
}

// DefaultStackMM is the height of paper cut at once when the maker says nothing: ten sheets of 80 g/m²
// (common practice; a hobby trimmer takes that, but its maker's instructions count).
var DefaultStackMM = 10 * Thickness(DefaultGrammage)

// StackSource says where the default height of a stack comes from.
func StackSource() words.Text { return words.T("paper.source.stack") }

// MaxStackMM is the highest stack taken for real; a large guillotine clamps about 80 mm (from memory).
const MaxStackMM = 100.0

// Order is the cutting of a whole order.
type Order struct {
	Stacks  []Stack
	Uncut   []Stack    // sheets that are units as they come: nothing is stacked or cut
	Sheets  int        // sheets cut, the last ones of each colour included
	Strokes int        // times the blade comes down
	Rest    []Leftover // what is left of all sheets, by colour
}

// Stack is sheets cut together: whole sheets of one or more colours, or last sheets of which the same
// number of units is needed.
type Stack struct {
	Layout  *Layout
	Sheets  []StackSheets // from the bottom
	Units   int           // units each sheet gives
	Over    int           // of Units, those that come free with the others though nobody needs them
	Last    bool          // cut only as far as needed
	Part    bool          // part-used sheets
	Strokes int
	Steps   []CutStep
	Tree    *Node // how each sheet is cut
}

// StackSheets is the sheets of one colour in a stack.
type StackSheets struct {
	Colour string
	Sheets int
}

// Leftover is paper of a colour that is left over, by size.
type Leftover struct {
	Colour string
	Offcut
}

// PlanOrder stacks the sheets of all jobs: whole sheets of the same layout are cut together, colours
// mixed, up to stackMM high; the last sheet of each colour is cut only as far as needed, together with
// other last sheets of the same layout and number. Part-used sheets lie only with part-used ones. A sheet
// thicker than stackMM is cut alone. Sheets that are units as they come stand in Uncut and not in Stacks. What
// the stacks and Uncut give less Over is what the jobs ask for. It fails with a
// figure.Fault at "units", "thickness" or "stack".
func PlanOrder(jobs []Job, stackMM float64) (Order, error) {
	if !(stackMM > 0 && stackMM <= MaxStackMM) {
		return Order{}, fault("stack", words.T("paper.stack.bad", "Found", mm(stackMM)), words.T("paper.stack.allowed", "Most", mm(MaxStackMM)))
	}
	for _, j := range jobs {
		if err := j.validate(); err != nil {
			return Order{}, err
		}
	}
	p := planner{stackMM: stackMM}
	for _, j := range jobs {
		p.whole(j)
	}
	for _, j := range jobs {
		p.last(j)
	}
	for i := range p.piles {
		p.piles[i].close(&p.order)
	}
	p.rest(jobs)
	return p.order, nil
}

// maxJobUnits bounds a job: a hundred times the units of the largest figure.
const maxJobUnits = 10_000_000

func (j Job) validate() error {
	if j.Units < 0 || j.Units > maxJobUnits {
		return fault("units", words.T("paper.units.bad", "Found", j.Units), words.T("paper.units.allowed", "Most", maxJobUnits))
	}
	if !(j.ThicknessMM > 0 && j.ThicknessMM <= MaxStackMM) {
		return fault("thickness", words.T("paper.thickness.bad", "Found", mm(j.ThicknessMM)), words.T("paper.thickness.allowed"))
	}
	return nil
}

// planner gathers sheets that can be cut together into piles, and splits these into stacks.
type planner struct {
	stackMM float64
	order   Order
	piles   []*pile
}

// pile is the sheets of one layout that give the same number of units each.
type pile struct {
	layout *Layout
	part   bool
	units  int
	most   float64 // mm
	open   []StackSheets
	height float64 // of the open stack, mm
	stacks [][]StackSheets
}

func (p *planner) whole(j Job) { p.add(j, j.Units/j.Layout.PerSheet, j.Layout.PerSheet) }

func (p *planner) last(j Job) {
	if left := j.Units % j.Layout.PerSheet; left > 0 {
		p.add(j, 1, left)
	}
}

func (p *planner) add(j Job, sheets, units int) {
	if sheets == 0 {
		return
	}
	pile := p.pile(j, units)
	for sheets > 0 {
		sheets -= pile.add(j, sheets)
	}
}

func (p *planner) pile(j Job, units int) *pile {
	for _, q := range p.piles {
		if q.layout.Cutting == j.Layout.Cutting && q.part == j.Part && q.units == units {
			return q
		}
	}
	q := &pile{layout: j.Layout, part: j.Part, units: units, most: p.stackMM}
	p.piles = append(p.piles, q)
	return q
}

// add lays as many of the sheets on the open stack as it takes, and says how many.
func (q *pile) add(j Job, sheets int) int {
	const hair = 1e-9 // mm
	n := int(math.Floor((q.most - q.height + hair) / j.ThicknessMM))
	if n < 1 && len(q.open) > 0 {
		q.stacks = append(q.stacks, q.open)
		q.open, q.height = nil, 0
		return 0
	}
	n = min(max(n, 1), sheets)
	q.open = append(q.open, StackSheets{j.Colour, n})
	q.height += float64(n) * j.ThicknessMM
	return n
}

// close turns the pile into stacks of the order.
func (q *pile) close(o *Order) {
	part, err := q.layout.Part(q.units)
	if err != nil {
		panic(err) // q.units is between 1 and PerSheet
	}
	if part.Cuts == 0 {
		o.Uncut = append(o.Uncut, Stack{Layout: q.layout, Sheets: q.all(), Units: part.Units, Part: q.part, Steps: part.Steps, Tree: part.Tree})
		for _, s := range q.all() {
			o.Sheets += s.Sheets
		}
		return
	}
	for _, sheets := range append(q.stacks, q.open) {
		o.Stacks = append(o.Stacks, Stack{Layout: q.layout, Sheets: sheets, Units: part.Units,
			Over: part.Units - q.units, Last: q.units < q.layout.PerSheet, Part: q.part, Strokes: part.Cuts, Steps: part.Steps, Tree: part.Tree})
		o.Strokes += part.Cuts
		for _, s := range sheets {
			o.Sheets += s.Sheets
		}
	}
}

// all is the sheets of all stacks, each colour once.
func (q *pile) all() (out []StackSheets) {
	for _, s := range slices.Concat(append(q.stacks, q.open)...) {
		if i := slices.IndexFunc(out, func(o StackSheets) bool { return o.Colour == s.Colour }); i >= 0 {
			out[i].Sheets += s.Sheets
		} else {
			out = append(out, s)
		}
	}
	return out
}

// rest lists what is left of every colour, in the order of the jobs.
func (p *planner) rest(jobs []Job) {
	var colours []string
	left := map[string][]Offcut{}
	for _, j := range jobs {
		if !slices.Contains(colours, j.Colour) {
			colours = append(colours, j.Colour)
		}
		list := left[j.Colour]
		whole := j.Units / j.Layout.PerSheet
		if whole > 0 {
			for _, o := range j.Layout.Offcuts {
				o.Count *= whole
				list = addOffcut(list, o)
			}
		}
		if last := j.Units % j.Layout.PerSheet; last > 0 {
			part, err := j.Layout.Part(last)
			if err != nil {
				panic(err) // last is less than PerSheet
			}
			for _, o := range part.Offcuts {
				list = addOffcut(list, o)
			}
		}
		left[j.Colour] = list
	}
	for _, colour := range colours {
		sortOffcuts(left[colour])
		for _, o := range left[colour] {
			p.order.Rest = append(p.order.Rest, Leftover{colour, o})
		}
	}
}
