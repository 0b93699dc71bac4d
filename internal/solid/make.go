// Package solid turns a solid, as a printer or a scanner has it, into rings.
//
// A file is read as triangles and the colours of their surface (STL, OBJ, PLY and GLB, a file each). The solid is stood up and
// scaled to a height (stand.go) and cut level where the points of each ring will be (slice.go). What a tight thread shows around
// an outline is as long as the ring is to be: so many pitches are the units that are wanted. A circle of that length is as wide
// as the outline is on average, seen from all sides (Cauchy's theorem on mean widths). The body is followed from its greatest outline
// up and down (trunk.go), the counts are those that the craft can widen and narrow to (package outline), and what stands off the
// body is told, and proposed as parts (limbs.go). Each unit gets the paper that is nearest to what the surface shows where its
// visible face is (colours.go). The same solid and the same wishes give the same figure.
package solid

import (
	"context"
	"errors"
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/outline"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Options say how a solid is to become rings.
type Options struct {
	Title    string
	HeightMM float64
	Up       Up          // "" for what is usual in the file's format
	Turn     float64     // degrees by which the front is turned to the right
	Unit     figure.Unit // none: that of a model Tuckring wrote, else the usual one
	Units    int         // around the widest place, for which the unit's paper is scaled; 0 leaves the unit as it is
	Papers   []figure.Colour
	Gauge    func(figure.Unit) shape.Gauge // nil: from memory
	Limbs    []int                         // which of the limbs become parts, by their index in Result.Limbs
	AllLimbs bool                          // all of them do
	Edges    bool                          // a unit on an edge of colours shows the greater side of it
}

// Limits of a height, in mm.
const (
	MinHeightMM = shape.MinWishMM
	MaxHeightMM = shape.MaxWishMM
)

// UsualUnit is A9, the usual size (trade.md).
var UsualUnit = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}

// Ring tells of a ring of the standing part what the solid would have had, what it got, and how far its units are off
// the solid on average.
type Ring struct {
	Ring       int     `json:"ring"` // number, from 1
	Wanted     float64 `json:"wanted"`
	Units      int     `json:"units"`
	DistanceMM float64 `json:"distance_mm"`
}

// Result is the figure of a solid.
type Result struct {
	Figure         *figure.Figure
	Rings          []Ring
	MeanDistanceMM float64      // of all units of the standing part
	LeftOut        []words.Text // what of the solid the figure does not follow
	Limbs          []Limb       // what stands off the body
	Coloured       bool         // the solid's own colours were followed
	HeightMM       float64      // outside, as a ruler reads it
	Gauge          shape.Gauge  // by which it was reckoned

	stood     *stood
	limbsLeft int // how many of LeftOut are limbs
}

// Make turns a solid into rings. It fails when there is no body that rings can go around, when the figure would break a limit of
// the document, and when a wish is out of bounds; the error says which, and what could be. It is the context's when nobody waits
// any more.
func Make(ctx context.Context, m *Mesh, o Options) (*Result, error) {
	k := &maker{Options: o, mesh: m, ctx: ctx}
	if err := k.check(); err != nil {
		return nil, err
	}
	var err error
	if k.stood, err = m.stand(k.Up, k.Turn, k.HeightMM); err != nil {
		return nil, err
	}
	if m.own != nil && (k.Up == "" || k.Up == UpY) {
		k.own = newOwnRings(m.own, k.stood)
	}
	if err := k.chooseUnit(); err != nil {
		return nil, err
	}
	if err := k.shape(); err != nil {
		return nil, err
	}
	k.onAxis()
	if k.own == nil {
		k.tree = newTree(ctx, k.stood)
	}
	k.paint()
	k.measure()
	if err := k.tree.err(); err != nil {
		return nil, err
	}
	k.findLimbs()
	k.addLimbs()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	k.paintLimbs()
	if err := k.tree.err(); err != nil {
		return nil, err
	}
	k.tell()
	k.result.stood, k.result.Gauge = k.stood, k.gauge
	return k.result, nil
}

// maker is at work on one solid.
type maker struct {
	Options
	ctx     context.Context
	mesh    *Mesh
	stood   *stood
	own     *ownRings
	gauge   shape.Gauge
	trunk   *trunk
	heights []float64 // of the slices
	placed  *shape.Placement
	tree    *tree
	warns   words.Text // what the checks find of the best counts, if anything
	result  *Result
}

func (k *maker) check() error {
	if !(k.HeightMM >= MinHeightMM && k.HeightMM <= MaxHeightMM) {
		return words.T("solid.height", "Low", MinHeightMM, "High", MaxHeightMM)
	}
	if !(math.Abs(k.Turn) <= 3600) {
		return words.T("solid.turn")
	}
	if k.Units != 0 && (k.Units < outline.LeastUnits || k.Units > figure.MaxUnits) {
		return words.T("solid.units", "Found", k.Units, "Low", outline.LeastUnits, "High", figure.MaxUnits)
	}
	if len(k.Papers) == 0 || len(k.Papers) > figure.MaxColours {
		return words.T("picture.colours", "Found", len(k.Papers), "Most", figure.MaxColours)
	}
	if k.Gauge == nil {
		k.Gauge = shape.FromMemory
	}
	return nil
}

// lookAt is at how many heights a solid is looked at before the heights of its rings are known.
const lookAt = 48

// chooseUnit takes the unit as it is, or scales its paper so that the widest place has the units that are wanted.
func (k *maker) chooseUnit() error {
	if k.Unit == (figure.Unit{}) {
		k.Unit = UsualUnit
		if k.own != nil {
			k.Unit = k.own.unit
		}
	}
	if k.Units > 0 {
		widest, err := k.widest()
		if err != nil {
			return err
		}
		g := k.Gauge(k.Unit)
		by := widest / float64(k.Units) / g.Pitch.Best
		tenth := func(mm float64) float64 { return math.Round(mm*by*10) / 10 }
		u := figure.Unit{LongMM: tenth(k.Unit.LongMM), ShortMM: tenth(k.Unit.ShortMM), Fold: k.Unit.Fold}
		if u.ShortMM < figure.MinUnitMM || u.LongMM > figure.MaxUnitMM {
			return words.T("solid.units.paper", "Units", k.Units, "Long", u.LongMM, "Short", u.ShortMM)
		}
		k.Unit = u
	}
	if !fold.Of(k.Unit).Foldable() {
		return words.T("solid.unfoldable", "Long", k.Unit.LongMM, "Short", k.Unit.ShortMM)
	}
	k.gauge = k.Gauge(k.Unit)
	return nil
}

// widest is how far it is around the widest place of the body, in mm.
func (k *maker) widest() (float64, error) {
	heights := make([]float64, lookAt)
	for i := range heights {
		heights[i] = k.HeightMM * (float64(i) + 0.5) / lookAt
	}
	list, err := k.slices(heights)
	if err != nil {
		return 0, err
	}
	out := 0.0
	for _, o := range follow(list).body {
		out = math.Max(out, o.perimeter)
	}
	if out == 0 {
		return 0, words.T("solid.no_body")
	}
	return out, nil
}

func (k *maker) slices(heights []float64) ([]slice, error) {
	if k.own != nil {
		return k.own.slices(heights), nil
	}
	return k.stood.slices(k.ctx, heights)
}

// onAxis moves the solid so that its axis is the figure's.
func (k *maker) onAxis() {
	k.stood.shift(k.trunk.axis.x, k.trunk.axis.z)
	if k.own != nil {
		for i := range k.own.units {
			k.own.units[i].at[0] -= k.trunk.axis.x
			k.own.units[i].at[2] -= k.trunk.axis.z
		}
	}
}

// asItWas makes the rings of a model that Tuckring wrote, of that very size, as they were. It fails where their counts alone do not
// make a figure.
func (k *maker) asItWas() error {
	heights, wanted, counts := []float64{}, []float64{}, []int{}
	for _, r := range k.own.rings {
		heights, wanted, counts = append(heights, r.y), append(wanted, float64(r.units)), append(counts, r.units)
	}
	f, err := outline.Stack(k.Title, k.Unit, k.Papers, counts)
	if err != nil {
		return err
	}
	k.heights, k.trunk = heights, follow(k.own.slices(heights))
	f.Front = k.own.front(counts[0])
	k.build(wanted, counts, f)
	return nil
}

// tries is how often the heights of the rings are brought to where the figure's rings stand.
const tries = 3

// shape finds the rings and their counts.
func (k *maker) shape() error {
	if k.own != nil && k.own.fits(k.Unit) && k.asItWas() == nil {
		return nil
	}
	tube := shape.Place(figure.Tube("", k.Unit, k.Papers[:1], 24, 2), k.gauge)
	foot, rise := tube.Rings[0].Y, k.gauge.Rise.Best
	rings := 1 + int(math.Round((k.HeightMM-foot-(tube.Size.Height.Best-tube.Rings[1].Y))/rise))
	for try := range tries {
		if err := k.checkRings(rings); err != nil {
			return err
		}
		heights := make([]float64, rings)
		for i := range heights {
			heights[i] = math.Min(foot+float64(i)*rise, k.HeightMM*(1-1e-6))
		}
		if err := k.shapeAt(heights); err != nil {
			return err
		}
		more := 0
		if len(k.trunk.body) == rings {
			more = int(math.Round((k.HeightMM - k.placed.Size.Height.Best) / rise))
		}
		if stands := k.placed.Rings[0].Y; try == tries-1 || more == 0 && math.Abs(stands-foot) < 0.02*rise {
			return nil
		}
		foot, rings = k.placed.Rings[0].Y, rings+more
	}
	return nil
}

func (k *maker) checkRings(rings int) error {
	rise := k.gauge.Rise.Best
	switch {
	case rings < 2:
		return words.T("solid.low", "Height", k.HeightMM, "Least", math.Ceil(3*rise))
	case rings > figure.MaxRings:
		return words.T("solid.tall", "Height", k.HeightMM, "Most", figure.MaxRings)
	}
	return nil
}

// shapeAt cuts the solid at heights and makes a figure of as many rings as its body has.
func (k *maker) shapeAt(heights []float64) error {
	k.heights = heights
	if err := k.ctx.Err(); err != nil {
		return err
	}
	list, err := k.slices(heights)
	if err != nil {
		return err
	}
	if k.trunk = follow(list); len(k.trunk.body) == 0 || k.trunk.flat() {
		return words.T("solid.no_body")
	}
	k.trunk.endSpire(k.gauge.Pitch.Best)
	wanted, all := make([]float64, len(k.trunk.body)), 0.0
	for i := range k.trunk.body {
		wanted[i] = k.trunk.body[i].perimeter / k.gauge.Pitch.Best
		all += wanted[i]
		if wanted[i] > figure.MaxUnits {
			return words.T("solid.wide", "Found", math.Round(wanted[i]), "Most", figure.MaxUnits)
		}
	}
	if all > figure.MaxAllUnits {
		return words.T("solid.many", "Found", math.Round(all), "Most", figure.MaxAllUnits)
	}
	counts, f, err := outline.Fit(k.Title, k.Unit, k.Papers, wanted, k.gauge)
	if f == nil {
		return err
	}
	k.build(wanted, counts, f)
	errors.As(err, &k.warns)
	return nil
}

// build notes the figure of counts.
func (k *maker) build(wanted []float64, counts []int, f *figure.Figure) {
	k.placed = shape.Place(f, k.gauge)
	k.result = &Result{Figure: f, Coloured: k.mesh.Coloured, HeightMM: k.placed.Size.Height.Best, Rings: make([]Ring, len(counts))}
	for i, n := range counts {
		k.result.Rings[i] = Ring{Ring: i + 1, Wanted: wanted[i], Units: n}
	}
}

// flat says that the body has no inside anywhere: rings cannot go around a sheet.
func (t *trunk) flat() bool {
	for i := range t.body {
		// A circle has 4π = 12.6 times its area in its perimeter's square; a box 1 × 100 has 400 times.
		if o := &t.body[i]; o.area*800 > o.perimeter*o.perimeter {
			return false
		}
	}
	return true
}
