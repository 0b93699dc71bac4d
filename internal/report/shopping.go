package report

import (
	"context"
	"errors"
	"slices"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
)

// Shopping says what to take from the stock, what to buy, and what will be left over.
type Shopping struct {
	Lines  []ShoppingLine `json:"lines"`
	Spare  int            `json:"spare"`   // on top of the units still to be folded
	Folded int            `json:"folded"`  // units of the figure that are folded already
	ToFold int            `json:"to_fold"` // units of the figure + Spare − Folded
	Cut    int            `json:"cut"`     // of ToFold, cut already
	Sheets int            `json:"sheets"`  // whole sheets to take, at hand and bought
	MassG  float64        `json:"mass_g"`  // of them, as printed
	Buy    int            `json:"buy"`     // of them, to buy
	Packs  int            `json:"packs"`   // packs of two sheets or more, to buy
	Single int            `json:"single"`  // sheets sold singly, to buy
	Costs  []paper.Money  `json:"costs"`   // one sum for each currency; empty when no price is known
	// Priced says that every colour of which something is bought has a price, so that Costs is all.
	Priced bool `json:"priced"`
}

// ShoppingLine is one colour of the shopping list.
type ShoppingLine struct {
	Colour   string             `json:"colour"`
	Name     string             `json:"name"`
	Sheet    string             `json:"sheet"`
	Grammage float64            `json:"grammage"`        // g/m²
	Sides    string             `json:"sides,omitempty"` // "both" or "one": which sides are to be coloured
	Units    int                `json:"units"`           // in the figure
	Spare    int                `json:"spare"`           // on top of those still to be folded
	Folded   int                `json:"folded"`          // folded already
	ToFold   int                `json:"to_fold"`
	Cut      int                `json:"cut"` // cut already
	ToCut    int                `json:"to_cut"`
	Parts    []paper.PartSheets `json:"parts"`     // part-used sheets to take
	FromPart int                `json:"from_part"` // units they give
	Sheets   int                `json:"sheets"`    // whole sheets to take
	MassG    float64            `json:"mass_g"`    // of them, as printed
	Own      int                `json:"own"`       // of them, at hand
	Buy      int                `json:"buy"`       // of them, to buy
	PackOf   int                `json:"pack_of"`   // sheets in a pack; 1 for single sheets
	Packs    int                `json:"packs"`
	Cost     *paper.Money       `json:"cost,omitempty"` // of the packs
	Left     int                `json:"left"`           // whole sheets left over in the end
	LeftLast int                `json:"left_last"`      // units that the last sheet would still give

	line paper.Line // as paper works it out
}

// PartSheets is how many part-used sheets the line takes.
func (l *ShoppingLine) PartSheets() (n int) {
	for _, p := range l.Parts {
		n += p.Count
	}
	return n
}

// PackOf is how many sheets each pack to buy holds, 0 where packs differ or there are none.
func (s *Shopping) PackOf() (of int) {
	for _, l := range s.Lines {
		if l.Packs == 0 || l.PackOf == 1 {
			continue
		}
		if of != 0 && of != l.PackOf {
			return 0
		}
		of = l.PackOf
	}
	return of
}

// shoppingOf works the list out for the colours that the figure uses.
func shoppingOf(ctx context.Context, s *Settings, colours []PaperLine) (Shopping, error) {
	needs := make([]paper.Need, len(colours))
	for i, c := range colours {
		need, err := s.need(c)
		if err != nil {
			return Shopping{}, err
		}
		needs[i] = need
	}
	list, err := paper.Shop(ctx, needs, s.Spare)
	if err != nil {
		return Shopping{}, atNeeds(err, colours)
	}
	out := Shopping{Sheets: list.Sheets, Buy: list.Buy, Costs: some(list.Costs), Priced: true, Lines: []ShoppingLine{}}
	for i, l := range list.Lines {
		out.Lines = append(out.Lines, ShoppingLine{
			Colour: l.Colour, Name: colours[i].Name, Sheet: colours[i].Sheet, Grammage: colours[i].Grammage, Sides: s.colour(l.Colour).Sides,
			Units: l.Units, Spare: l.Spare, Folded: l.Folded, ToFold: l.ToFold, Cut: l.Cut, ToCut: l.ToCut,
			Parts: some(l.Parts), FromPart: l.FromPart, Sheets: l.Sheets, Own: l.Own, Buy: l.Buy,
			PackOf: max(1, needs[i].Pack.Sheets), Packs: l.Packs, Cost: l.Cost, Left: l.Left, LeftLast: l.LeftLast,
			line: l,
		})
		out.Spare += l.Spare
		out.Folded += l.Folded
		out.ToFold += l.ToFold
		out.Cut += l.Cut
		if needs[i].Pack.Sheets > 1 {
			out.Packs += l.Packs
		} else {
			out.Single += l.Packs
		}
		out.Priced = out.Priced && (l.Packs == 0 || l.Cost != nil)
	}
	out.printMass()
	return out, nil
}

// printMass rounds the masses to tenths of a gram that add up.
func (s *Shopping) printMass() {
	exact := make([]float64, len(s.Lines))
	for i, l := range s.Lines {
		exact[i] = l.line.MassG
	}
	printed, total := paper.AddUp(exact, 1)
	for i := range s.Lines {
		s.Lines[i].MassG = printed[i]
	}
	s.MassG = total
}

// FromStock says that units or part-used sheets at hand make the figure take less than Paper says.
func (s *Shopping) FromStock() bool { return s.Folded > 0 || s.Cut > 0 || s.PartSheets() > 0 }

// PartSheets is how many part-used sheets are taken.
func (s *Shopping) PartSheets() (n int) {
	for i := range s.Lines {
		n += s.Lines[i].PartSheets()
	}
	return n
}

// some turns a nil list into an empty one, so that JSON has [] and not null.
func some[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// need is a colour with its stock and packs. It fails with a figure.Fault at the field.
func (s *Settings) need(c PaperLine) (paper.Need, error) {
	own := s.colour(c.Colour)
	parts, err := parseParts(own.StockParts)
	if err != nil {
		return paper.Need{}, err
	}
	n := paper.Need{
		Colour: c.Colour, Units: c.Units, Cutting: c.layout.Cutting, Grammage: c.Grammage,
		Stock: paper.Stock{Sheets: own.StockSheets, Parts: parts, Cut: own.StockCut, Folded: own.StockFolded},
		Pack:  paper.Pack{Sheets: own.PackSheets},
	}
	if own.PackPrice != "" {
		price, err := paper.ParseMoney("colour."+c.Colour+".pack_price", own.PackPrice, s.Currency)
		if err != nil {
			return n, err
		}
		n.Pack.Price = &price
	}
	return n, nil
}

// atNeeds moves the faults of the shopping list ("needs[2].stock.cut") to the fields of the settings.
func atNeeds(err error, colours []PaperLine) error {
	var faults figure.Faults
	if !errors.As(err, &faults) {
		return err
	}
	for i := range faults {
		inside, place, ok := strings.Cut(strings.TrimPrefix(faults[i].Where, "needs["), "].")
		if !ok {
			continue
		}
		for k := range colours {
			if number(float64(k)) == inside {
				faults[i].Where = "colour." + colours[k].Colour + "." + strings.ReplaceAll(place, ".", "_")
			}
		}
	}
	return faults
}

// Cutting is how the paper is cut: which sheets lie together under the blade, and the cuts.
type Cutting struct {
	Strokes int       `json:"strokes"` // times the blade comes down
	Stacks  int       `json:"stacks"`  // sheets that are units already are not stacked
	Plans   []CutPlan `json:"plans"`
	Offcuts []Offcut  `json:"offcuts"` // paper left over, by colour, the largest first
}

// CutPlan is one way of cutting a sheet and the stacks that are cut so.
type CutPlan struct {
	Sheet   string          `json:"sheet"`
	Units   int             `json:"units"` // units each sheet gives
	Over    int             `json:"over"`  // of them, those that come free with the others though nobody needs them
	Last    bool            `json:"last"`  // last sheets, cut only as far as needed
	Part    bool            `json:"part"`  // part-used sheets
	Uncut   bool            `json:"uncut"` // the sheets are units as they come: no stroke, and Stacks only counts them
	Strokes int             `json:"strokes"`
	Steps   []paper.CutStep `json:"steps"`
	Stacks  [][]StackPart   `json:"stacks"`
	Layout  *paper.Layout   `json:"-"`
	Tree    *paper.Node     `json:"-"` // how each sheet is cut, for a drawing
}

// StackPart is the sheets of one colour in a stack, from the bottom.
type StackPart struct {
	Colour string `json:"colour"`
	Sheets int    `json:"sheets"`
}

// Offcut is paper of a colour that is left over, and what else of this figure it would give.
type Offcut struct {
	Colour  string  `json:"colour"`
	WidthMM float64 `json:"width_mm"` // the shorter side
	LongMM  float64 `json:"long_mm"`
	Count   int     `json:"count"`
	Units   int     `json:"units"`  // units that each piece would still give
	Pieces  []Fits  `json:"pieces"` // glued pieces of the figure that fit
}

// Fits says how many of a glued piece an offcut gives.
type Fits struct {
	Name  string `json:"name"`
	Count int    `json:"count"`
}

// cuttingOf plans the cutting of all sheets that the shopping list takes, part-used ones among them.
func cuttingOf(ctx context.Context, f *figure.Figure, s *Settings, lines []ShoppingLine) (Cutting, error) {
	var jobs []paper.Job
	for _, l := range lines {
		jobs = append(jobs, l.line.Jobs(s.thicknessOf(l.Colour))...)
	}
	order, err := paper.PlanOrder(jobs, s.StackMM)
	if err != nil {
		return Cutting{}, atFields(err, map[string]string{"stack": "stack_mm", "thickness": "thickness_mm"})
	}
	c := Cutting{Strokes: order.Strokes, Stacks: len(order.Stacks), Plans: append(plans(order.Stacks), uncut(order.Uncut)...)}
	c.Offcuts, err = offcuts(ctx, order.Rest, f)
	return c, err
}

// plans gathers the stacks that are cut alike.
func plans(stacks []paper.Stack) []CutPlan {
	out := []CutPlan{}
	for _, s := range stacks {
		n := len(out)
		if n == 0 || out[n-1].Layout != s.Layout || out[n-1].Part != s.Part || out[n-1].Last != s.Last || out[n-1].Units != s.Units || out[n-1].Over != s.Over {
			out = append(out, CutPlan{Sheet: s.Layout.Cutting.Sheet.Name, Units: s.Units, Over: s.Over, Last: s.Last, Part: s.Part,
				Strokes: s.Strokes, Steps: s.Steps, Layout: s.Layout, Tree: s.Tree})
			n++
		}
		out[n-1].Stacks = append(out[n-1].Stacks, stackParts(s))
	}
	return out
}

func stackParts(s paper.Stack) []StackPart {
	parts := make([]StackPart, len(s.Sheets))
	for i, p := range s.Sheets {
		parts[i] = StackPart{p.Colour, p.Sheets}
	}
	return parts
}

// uncut are the plans of sheets that are units already.
func uncut(sheets []paper.Stack) (out []CutPlan) {
	for _, s := range sheets {
		out = append(out, CutPlan{Sheet: s.Layout.Cutting.Sheet.Name, Units: s.Units, Uncut: true, Part: s.Part, Steps: s.Steps,
			Stacks: [][]StackPart{stackParts(s)}, Layout: s.Layout, Tree: s.Tree})
	}
	return out
}

// offcuts lists what is left over, and which glued pieces of the figure fit in it.
func offcuts(ctx context.Context, rest []paper.Leftover, f *figure.Figure) ([]Offcut, error) {
	wants := wantsOf(f)
	out := make([]Offcut, 0, len(rest))
	for _, r := range rest {
		o := Offcut{Colour: r.Colour, WidthMM: r.WMM, LongMM: r.HMM, Count: r.Count, Units: r.Units, Pieces: []Fits{}}
		for _, w := range wants {
			if w.colour != "" && w.colour != r.Colour {
				continue
			}
			n, err := r.Holds(ctx, w.Want)
			if err != nil {
				return nil, err
			}
			if n > 0 {
				o.Pieces = append(o.Pieces, Fits{w.Name, n})
			}
		}
		out = append(out, o)
	}
	return out, nil
}

// want is a glued piece and the colour it must have, "" for any.
type want struct {
	paper.Want
	colour string
}

// wantsOf are the glued pieces of the figure, pieces of one name, size and colour once.
func wantsOf(f *figure.Figure) []want {
	var out []want
	seen := map[want]bool{}
	for i := range f.Extras {
		e := &f.Extras[i]
		if e.Kind != figure.Glued {
			continue
		}
		w := want{paper.Want{Name: e.Name, DiameterMM: e.Diameter}, e.Colour}
		if e.Outline != figure.Disc && e.Outline != "" {
			w.Want = paper.Want{Name: e.Name, LongMM: max(e.Width, e.Height), ShortMM: min(e.Width, e.Height)}
		}
		if !seen[w] && w.Validate() == nil {
			seen[w] = true
			out = append(out, w)
		}
	}
	return out
}

// Kit is one person's share of the folding.
type Kit struct {
	Kit   int   `json:"kit"` // from 1
	Units int   `json:"units"`
	Lots  []Run `json:"lots"`
}

// kitsOf shares what is to be folded.
func kitsOf(s *Settings, lines []ShoppingLine) ([]Kit, error) {
	lots := make([]paper.Lot, len(lines))
	for i, l := range lines {
		lots[i] = paper.Lot{Colour: l.Colour, Units: l.ToFold}
	}
	kits, err := paper.Kits(lots, s.People)
	if err != nil {
		return nil, err
	}
	out := make([]Kit, len(kits))
	for i, k := range kits {
		out[i] = Kit{Kit: k.Number, Units: k.Units, Lots: make([]Run, len(k.Lots))}
		for j, lot := range k.Lots {
			out[i].Lots[j] = Run{lot.Colour, lot.Units}
		}
	}
	return out, nil
}

// Useful are the offcuts that still give a unit or a glued piece, and how many strips are too small for
// either.
func (c *Cutting) Useful() (useful []Offcut, strips int) {
	for _, o := range c.Offcuts {
		if o.Units > 0 || len(o.Pieces) > 0 {
			useful = append(useful, o)
		} else {
			strips += o.Count
		}
	}
	return useful, strips
}

// StackRun is stacks that follow one another and are put together alike.
type StackRun struct {
	First, Last int // numbers within the plan, from 1
	Parts       []StackPart
}

// StackRuns gathers the stacks of a plan that are alike.
func (p *CutPlan) StackRuns() []StackRun {
	var out []StackRun
	for i, parts := range p.Stacks {
		if n := len(out); n > 0 && slices.Equal(out[n-1].Parts, parts) {
			out[n-1].Last = i + 1
			continue
		}
		out = append(out, StackRun{i + 1, i + 1, parts})
	}
	return out
}

// Sheets is how many sheets a plan cuts in all its stacks.
func (p *CutPlan) Sheets() (n int) {
	for _, parts := range p.Stacks {
		for _, part := range parts {
			n += part.Sheets
		}
	}
	return n
}

// Own is how many of the whole sheets to take are at hand.
func (s *Shopping) Own() int { return s.Sheets - s.Buy }
