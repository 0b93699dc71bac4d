package picture

import (
	"math"
	"slices"
	"sync"

	"github.com/lucasb-eyer/go-colorful"

	"tuckring/internal/figure"
	"tuckring/internal/sight"
	"tuckring/internal/words"
)

// Choice says which papers the units may get, and how.
type Choice struct {
	Papers []figure.Colour // those of the figure, by their ID, or further ones; nil for the figure's own
	Best   int             // at most so many of them are used; 0 for all
	Stock  map[string]int  // how many units there are of a paper for the whole figure, by ID; no entry, no limit

	Spread     float64 // 0 … 1: how much of what a paper is off is made up for by the units beside it
	Edges      bool    // a unit on an edge shows the greater side of it, and nothing is made up for across an edge
	Clean      bool    // a unit that nothing around it shares the paper of gets the paper around it
	Mirror     bool    // both sides of the front line alike
	Background bool    // what surrounds the motif, all of it, gets one paper
	Ground     string  // which paper that is, by ID; "" for the one that is nearest
	White      bool    // what is clear counts as white, and every unit is painted
	Gains      bool    // work out what one more paper and ten more units would bring
}

// work is how much is weighed at most, as visits of one unit and one paper: some hundred million take a second.
const (
	LiveWork = 40_000_000  // for a look ahead and what follows from it
	FullWork = 600_000_000 // on the command line
)

// Result is the papers of the units that a picture covers.
type Result struct {
	Paint   []figure.PaintRun // in the order of rings and units
	Added   []figure.Colour   // papers that the figure has not yet
	Covered int               // units that get a paper
	Tally
	// By is how many units of each paper the figure has then, in all, in the order of the figure's papers.
	By []PaperUse
	// OneMore is the paper that would bring most if it were there too, and at least how much; nil where none would.
	OneMore *Gain
	// TenMore tells of each paper that is used up what ten more units of it would bring.
	TenMore []Gain
}

// Tally says how far the papers are from the picture, as CIEDE2000.
type Tally struct {
	Mean     float64 // over the units covered
	Greatest float64
	// Proven says that no other choice of papers within the limits has a smaller mean. It speaks of the choice before it is
	// spread and cleaned, which make single units worse for the sake of all.
	Proven bool
	Bound  float64 // no choice has a smaller mean than this
}

// PaperUse is how many units of a paper a figure has.
type PaperUse struct {
	Colour figure.Colour
	Units  int  // in the whole figure, extras and twins among them
	Laid   int  // of these, painted after the picture
	Stock  int  // how many there are
	Scarce bool // whether Stock is a limit
}

// Gain is what a change would bring.
type Gain struct {
	Colour figure.Colour
	Mean   float64 // by how much the mean difference would be less
}

// Choose gives every unit that the picture covers a paper. It fails when a paper is named that is not there, or when there
// is not enough stock; the error says of what, and how much is missing.
func Choose(g *Ground, p *Picture, l Lay, c Choice, work int) (*Result, error) {
	seen, err := p.See(g, l)
	if err != nil {
		return nil, err
	}
	k, err := newChooser(g, c, work)
	if err != nil {
		return nil, err
	}
	k.aim(seen)
	if c.Edges {
		k.keepEdges(p.seeParts(g, l))
	}
	k.gather(p.clear)
	if len(k.wants) == 0 {
		return k.result(nil, Tally{Proven: true}), nil
	}
	return k.choose()
}

// want is what a unit of the ground is to look like.
type want struct {
	unit  int
	light [3]float64
	lab   sight.Lab
	bare  bool // the picture does not cover it: it belongs to what surrounds the motif, and is like any paper
}

// chooser is at work on one picture.
type chooser struct {
	g      *Ground
	c      Choice
	work   int
	papers []figure.Colour
	labs   []sight.Lab
	lights [][3]float64
	limits []int // of each paper for what is painted here, −1 without

	wants []want
	at    []int // of each unit of the ground its want, −1 where it stays as it is
	items []item
	of    []int // of each want its item
	costs []int64
	paper []int // of each want
	twice int   // 2 when every unit painted is mirrored by a twin, else 1
}

// item is units that get one paper together.
type item struct {
	wants []int
	back  bool // what surrounds the motif
}

func newChooser(g *Ground, c Choice, work int) (*chooser, error) {
	k := &chooser{g: g, c: c, work: work, papers: c.Papers, twice: 1}
	if k.papers == nil {
		k.papers = g.Figure.Colours
	}
	if len(k.papers) == 0 || len(k.papers) > figure.MaxColours {
		return nil, words.T("picture.colours", "Found", len(k.papers), "Most", figure.MaxColours)
	}
	if c.Papers != nil {
		if _, err := checked(c.Papers); err != nil {
			return nil, err
		}
	}
	if c.Best < 0 {
		return nil, words.T("picture.best", "Found", c.Best)
	}
	if !(c.Spread >= 0 && c.Spread <= 1) {
		return nil, words.T("picture.spread", "Found", c.Spread)
	}
	if c.Ground != "" && k.index(c.Ground) < 0 {
		return nil, words.T("picture.no_paper", "ID", clip(c.Ground))
	}
	for i := range g.Figure.Parts {
		if part := &g.Figure.Parts[i]; part.Twin != 0 && part.Twin == g.part {
			k.twice = 2
		}
	}
	for _, p := range k.papers {
		r, gr, b := sight.Paper(p).LinearRgb()
		k.lights = append(k.lights, [3]float64{r, gr, b})
		k.labs = append(k.labs, labOfPaper(p))
	}
	return k, nil
}

func labOfPaper(c figure.Colour) sight.Lab { return sight.LabOf(sight.Paper(c)) }

// index finds a paper to choose from by its ID, −1 for none.
func (k *chooser) index(id string) int {
	return slices.IndexFunc(k.papers, func(c figure.Colour) bool { return c.ID == id })
}

// covered is how much of a unit's face the picture has to cover for the unit to be painted.
const halfCovered = 0.5

// aim notes what every unit is to look like that the picture covers.
func (k *chooser) aim(seen []Seen) {
	k.at = make([]int, len(seen))
	for i, s := range seen {
		k.at[i] = -1
		switch {
		case k.c.White:
			for c := range s.Light {
				s.Light[c] = s.Light[c]*s.Cover + 1 - s.Cover
			}
		case s.Cover < halfCovered:
			continue
		}
		k.at[i] = len(k.wants)
		k.wants = append(k.wants, want{unit: i, light: s.Light, lab: labOf(s.Light)})
	}
}

func labOf(light [3]float64) sight.Lab {
	return sight.LabOf(colorful.LinearRgb(light[0], light[1], light[2]))
}

// anEdge is a difference that is seen as an edge (own: papers that far apart are told apart by anybody).
const anEdge = 20.0

// keepEdges lets every unit that lies on an edge show the greater side of it, as one of the pieces of its face have it.
func (k *chooser) keepEdges(parts []Seen) {
	labs := make([]sight.Lab, leaves)
	for i := range k.wants {
		w := &k.wants[i]
		own := parts[leaves*w.unit:][:leaves]
		far, a, b := 0.0, 0, 0
		for x := range own {
			labs[x] = labOf(own[x].Light)
			for y := range x {
				if own[x].Cover < halfCovered || own[y].Cover < halfCovered {
					continue
				}
				if d := sight.Difference(labs[x], labs[y]); d > far {
					far, a, b = d, x, y
				}
			}
		}
		if far < anEdge {
			continue
		}
		var light [2][3]float64
		var weight [2]float64
		for x, s := range own {
			side := 0
			if sight.Difference(labs[x], labs[b]) < sight.Difference(labs[x], labs[a]) {
				side = 1
			}
			by := s.Cover * pieceShare[x/2]
			weight[side] += by
			for c := range s.Light {
				light[side][c] += by * s.Light[c]
			}
		}
		side := 0
		if weight[1] > weight[0] {
			side = 1
		}
		for c := range w.light {
			w.light[c] = light[side][c] / weight[side]
		}
		w.lab = labOf(w.light)
	}
}

// pieceShare is how much of a leaf its three levels are, from the foot: a triangle, the whole width, and again a triangle.
var pieceShare = [leaves / 2]float64{0.25, 0.5, 0.25}

// gather puts units together that get one paper: mirror images, and what surrounds the motif. cut says that the motif is cut out: what
// surrounds it in the picture is clear.
func (k *chooser) gather(cut bool) {
	var back []int
	if k.c.Background {
		back = k.surroundings(cut)
	}
	k.of = make([]int, len(k.wants))
	for i := range k.of {
		k.of[i] = -1
	}
	if len(back) > 0 {
		k.items = append(k.items, item{back, true})
		for _, w := range back {
			k.of[w] = 0
		}
	}
	var image []int
	if k.c.Mirror {
		image = k.images()
	}
	for w := range k.wants {
		if k.of[w] >= 0 {
			continue
		}
		own := item{wants: []int{w}}
		if image != nil && image[w] >= 0 && image[w] != w && k.of[image[w]] < 0 {
			own.wants = append(own.wants, image[w])
		}
		for _, i := range own.wants {
			k.of[i] = len(k.items)
		}
		k.items = append(k.items, own)
	}
	k.weigh()
}

// micro is how finely differences are counted: whole numbers, so that sums do not hang on their order.
const micro = 1e6

// weigh works out how far every item is from every paper, in millionths.
func (k *chooser) weigh() {
	k.costs = make([]int64, len(k.items)*len(k.papers))
	inBands(len(k.items), func(from, to int) {
		for i := from; i < to; i++ {
			own := k.costs[i*len(k.papers):][:len(k.papers)]
			for _, w := range k.items[i].wants {
				for p := range k.labs {
					own[p] += k.cost(w, k.labs[p])
				}
			}
		}
	})
}

// inBands does something to n things in bands, as many at once as there are processors; none hangs on another.
func inBands(n int, do func(from, to int)) {
	var wait sync.WaitGroup
	for b := range bands {
		wait.Go(func() { do(n*b/bands, n*(b+1)/bands) })
	}
	wait.Wait()
}

// cost is how far a want is from a paper, in millionths.
func (k *chooser) cost(w int, paper sight.Lab) int64 {
	if k.wants[w].bare {
		return 0
	}
	return int64(math.Round(sight.Difference(k.wants[w].lab, paper) * micro))
}

// choose finds the papers and gives the result.
func (k *chooser) choose() (*Result, error) {
	if err := k.stock(); err != nil {
		return nil, err
	}
	plan, err := k.plan()
	if err != nil {
		return nil, err
	}
	k.paper = make([]int, len(k.wants))
	for i, it := range k.items {
		for _, w := range it.wants {
			k.paper[w] = plan.paper[i]
		}
	}
	units := float64(k.covered()) * micro
	tally := Tally{Proven: plan.proven, Bound: float64(plan.bound) / units}
	gains := k.gains(plan)
	if k.c.Spread > 0 {
		if err := k.spread(plan.used); err != nil {
			return nil, err
		}
	}
	if k.c.Clean {
		k.clean()
	}
	for w := range k.wants {
		if k.wants[w].bare {
			continue
		}
		d := sight.Difference(k.wants[w].lab, k.labs[k.paper[w]])
		tally.Mean += d
		tally.Greatest = math.Max(tally.Greatest, d)
	}
	tally.Mean /= float64(k.covered())
	tally.Bound = math.Min(tally.Bound, tally.Mean)
	if plan.proven {
		tally.Bound = math.Min(float64(plan.total)/units, tally.Mean)
	}
	out := k.result(k.paper, tally)
	if n := len(k.g.Figure.Colours) + len(out.Added); n > figure.MaxColours {
		return nil, words.T("picture.colours", "Found", n, "Most", figure.MaxColours)
	}
	out.OneMore, out.TenMore = gains.oneMore, gains.tenMore
	return out, nil
}

// covered is how many wants are of units that the picture covers, at least 1.
func (k *chooser) covered() int {
	n := 0
	for i := range k.wants {
		if !k.wants[i].bare {
			n++
		}
	}
	return max(1, n)
}

// result puts the papers of all wants in the form in which they are used.
func (k *chooser) result(paper []int, tally Tally) *Result {
	f := k.g.Figure
	out := &Result{Covered: len(k.wants), Tally: tally}
	laid := make([]int, len(k.papers))
	for w, p := range paper {
		laid[p]++
		at := k.g.units[k.wants[w].unit]
		id := k.papers[p].ID
		if last := len(out.Paint) - 1; last >= 0 && out.Paint[last].Ring == f.Rings[at.ring].ID && out.Paint[last].Colour == id && out.Paint[last].At+out.Paint[last].N == at.unit {
			out.Paint[last].N++
			continue
		}
		out.Paint = append(out.Paint, figure.PaintRun{Ring: f.Rings[at.ring].ID, At: at.unit, N: 1, Colour: id})
	}
	elsewhere := k.elsewhere()
	for p, c := range k.papers {
		_, own := f.ColourIndex(c.ID)
		if !own && laid[p] > 0 {
			out.Added = append(out.Added, c)
		}
		use := PaperUse{Colour: c, Units: elsewhere[c.ID] + k.twice*laid[p], Laid: laid[p]}
		use.Stock, use.Scarce = k.c.Stock[c.ID]
		if own || use.Units > 0 || use.Scarce {
			out.By = append(out.By, use)
		}
	}
	return out
}

// elsewhere counts the units of each paper, by ID, that are not painted: other units, and those of extras.
func (k *chooser) elsewhere() map[string]int {
	f := k.g.Figure
	counts := make(map[string]int, len(f.Colours))
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			counts[f.Colours[c.Colour].ID]++
		}
	}
	for i := range f.Extras {
		if e := &f.Extras[i]; e.Colour != "" {
			counts[e.Colour] += e.Units
		}
	}
	for _, w := range k.wants {
		at := k.g.units[w.unit]
		counts[f.Colours[f.Rings[at.ring].Cells[at.unit].Colour].ID] -= k.twice
	}
	return counts
}

// Edit is the result as an edit of one step: further papers first, and then the paint.
func (r *Result) Edit() figure.Edit {
	paint := &figure.Paint{Runs: r.Paint}
	if len(r.Added) == 0 {
		return paint
	}
	batch := &figure.Batch{}
	for _, c := range r.Added {
		batch.Edits = append(batch.Edits, &figure.AddColour{Name: c.Name, Hex: c.Hex, ID: c.ID})
	}
	batch.Edits = append(batch.Edits, paint)
	return batch
}
