package solid

import (
	"cmp"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/outline"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Limb is something that stands off the body: an ear, an arm, a spout. Its maker decides whether it becomes a part.
type Limb struct {
	From, To int        // the rings beside which it is, from 1; above the last ring it has the numbers that rings there would have
	Side     LimbSide   // on which side it is
	LongMM   float64    // how far it stands off
	AroundMM float64    // how far it is around it, on average
	As       figure.As  // what it can become: a tube or a chain; none where nothing holds
	Set      bool       // it is made by itself and glued on
	Units    int        // in a row
	Rows     int        //
	Name     words.Text // of the part
	Added    bool       // it is a part of the figure

	limb *limb
	way  float64 // its direction from the axis, in radians
	part figure.PartID
	twin bool
}

// LimbSide says on which side of the body something is, as the figure is looked at.
type LimbSide string

// The sides of a body.
const (
	OnTop   LimbSide = "top"
	InFront LimbSide = "front"
	ToRight LimbSide = "right"
	AtBack  LimbSide = "back"
	ToLeft  LimbSide = "left"
)

// Sizes of limbs.
const (
	mostLimbs   = 24      // the largest are looked at, and fewer
	limbUnits   = 300_000 // where a figure has many units: each way of making one a part is checked with the whole figure
	leastLong   = 1.5     // rises that one stands off, or it is a bump
	leastAround = 0.8     // pitches around, or no unit is so thin
	tubeAround  = 3.5     // pitches around from which on a tube goes around it: four units (common practice)
	longestRows = 200
)

// findLimbs measures what stands off the body, the largest first.
func (k *maker) findLimbs() {
	t := k.trunk
	rise, pitch := k.gauge.Rise.Best, k.gauge.Pitch.Best
	var out []Limb
	for i := range t.limbs {
		l := &t.limbs[i]
		m := Limb{From: l.from + 1, To: l.to + 1, limb: l}
		for _, b := range l.bits {
			m.AroundMM += b.around / float64(len(l.bits))
		}
		base, tip := k.ends(l)
		d := minus(tip, base)
		m.LongMM = math.Sqrt(dot(d, d))
		if aside := l.bits[0].aside && l.bits[len(l.bits)-1].aside; aside {
			high := float64(len(l.bits)) * rise
			m.AroundMM = math.Pi / 2 * (m.AroundMM + high) // as wide as it is, and as high
		}
		m.way = math.Atan2(tip[0], tip[2])
		if l.onTop {
			first := &l.bits[0]
			m.way = t.bearing(first.middle)
		}
		m.Side = k.sideOf(&m, base)
		if m.LongMM >= leastLong*rise && m.AroundMM >= leastAround*pitch {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(a, b Limb) int { return cmp.Compare(b.LongMM*b.AroundMM, a.LongMM*a.AroundMM) })
	k.result.Limbs = out[:min(len(out), mostLimbs, limbUnits/k.result.Figure.Units())]
}

// ends are where a limb leaves the body and where it ends, in the figure's mm.
func (k *maker) ends(l *limb) (base, tip [3]float64) {
	t, rise := k.trunk, k.gauge.Rise.Best
	place := func(b *bit) [3]float64 {
		return [3]float64{b.middle.x - t.axis.x, k.heights[min(b.slice, len(k.heights)-1)], b.middle.z - t.axis.z}
	}
	if l.onTop {
		base, tip = place(&l.bits[0]), place(&l.bits[len(l.bits)-1])
		base[1] -= rise
		return base, tip
	}
	at := k.joins(l)
	y := k.heights[at]
	far := 0.0
	tip = place(&l.bits[0])
	for i := range l.bits {
		p := place(&l.bits[i])
		out := math.Hypot(p[0], p[2])
		if d := out + math.Abs(p[1]-y); d > far {
			far, tip = d, p
		}
	}
	sin, cos := math.Sincos(math.Atan2(tip[0], tip[2]))
	r := t.body[at].perimeter / (2 * math.Pi)
	return [3]float64{r * sin, y, r * cos}, tip
}

// joins is the height at which a limb that is not on top joins the body: the middle of where it hangs on it, else where the body is
// nearest above or below.
func (k *maker) joins(l *limb) int {
	low, high := -1, -1
	for _, b := range l.bits {
		if b.aside {
			if low < 0 {
				low = b.slice
			}
			high = b.slice
		}
	}
	at := l.to + 1
	if low >= 0 {
		at = (low + high) / 2
	}
	return max(0, min(at, len(k.trunk.body)-1))
}

// sideOf says on which side a limb is.
func (k *maker) sideOf(m *Limb, base [3]float64) LimbSide {
	last := len(k.trunk.body) - 1
	r := k.trunk.body[last].perimeter / (2 * math.Pi)
	if m.limb.onTop && m.limb.from > last && math.Hypot(base[0], base[2]) < r/3 {
		return OnTop
	}
	switch deg := m.way * 180 / math.Pi; {
	case deg >= -45 && deg <= 45:
		return InFront
	case deg > 45 && deg < 135:
		return ToRight
	case deg < -45 && deg > -135:
		return ToLeft
	}
	return AtBack
}

// addLimbs tries how each limb can become a part, on a copy, and keeps those that are wanted. A part is kept only where the
// checks find nothing that they did not find before.
func (k *maker) addLimbs() {
	f := k.result.Figure
	names := map[string]int{}
	before := -1 // what the checks find of f, once that is known
	for i := range k.result.Limbs {
		if k.ctx.Err() != nil {
			return
		}
		m := &k.result.Limbs[i]
		names[string(m.Side)]++
		m.Name = words.T(words.Among("solid.limb.", string(m.Side), "top", "front", "right", "back", "left"), "Number", names[string(m.Side)])
		wanted := k.AllLimbs || slices.Contains(k.Limbs, i)
		if before < 0 {
			before = warnings(f, k.gauge)
		}
		for _, try := range k.ways(m) {
			then := f.Clone()
			if !try.on(k, then, m) || warnings(then, k.gauge) > before {
				continue
			}
			m.As, m.Set, m.Units, m.Rows, m.twin = try.as, try.set, try.units, try.rows, try.twin != nil
			if wanted {
				m.part = then.Parts[len(then.Parts)-1].ID
				if try.twin != nil {
					m.part = then.NextPart - 1
				}
				m.Added = true
				f, before = then, -1
			}
			break
		}
	}
	k.result.Figure = f
}

func warnings(f *figure.Figure, g shape.Gauge) int {
	faults, warned, _ := findings.Count(findings.Check(f, g))
	return 1000*faults + warned
}

// way is one way of making a limb a part.
type way struct {
	as          figure.As
	set         bool
	units, rows int
	twin        *Limb
}

// ways are those that may do for a limb, the best first.
func (k *maker) ways(m *Limb) []way {
	pitch, rise := k.gauge.Pitch.Best, k.gauge.Rise.Best
	rows := max(1, min(int(math.Round(m.LongMM/rise)), longestRows))
	around := m.AroundMM / pitch
	var out []way
	for i := range k.result.Limbs {
		if o := &k.result.Limbs[i]; o.Added && !o.twin && o.mirrors(m) {
			out = append(out, way{as: o.As, set: o.Set, units: o.Units, rows: o.Rows, twin: o})
		}
	}
	units := int(math.Round(around))
	if around >= tubeAround {
		if m.limb.onTop {
			tried := 0
			for _, share := range []float64{1, 0.8, 0.6, 0} { // a few only: each is checked
				if n := max(int(math.Round(share*float64(units))), leastGrown); n != tried {
					out, tried = append(out, way{as: figure.AsTube, units: n, rows: rows}), n
				}
			}
		}
		if around >= outline.LeastUnits-0.5 {
			out = append(out, way{as: figure.AsTube, set: true, units: max(units, outline.LeastUnits), rows: rows})
		}
	}
	return append(out, way{as: figure.AsChain, units: 1, rows: rows})
}

// leastGrown is the smallest tube that grows from points (common practice).
const leastGrown = 4

// mirrors says whether a limb is another's mirror image about the front.
func (m *Limb) mirrors(o *Limb) bool {
	const same, alike = 12 * math.Pi / 180, 0.15
	near := func(a, b float64) bool { return math.Abs(a-b) <= alike*math.Max(a, b) }
	return math.Abs(math.Remainder(m.way+o.way, 2*math.Pi)) < same && math.Abs(math.Remainder(m.way-o.way, 2*math.Pi)) > same &&
		m.From == o.From && m.limb.onTop == o.limb.onTop && near(m.LongMM, o.LongMM) && near(m.AroundMM, o.AroundMM)
}

// on adds the part to a figure.
func (w way) on(k *maker, f *figure.Figure, m *Limb) bool {
	apply := func(e figure.Edit) bool {
		_, _, err := figure.Apply(f, e)
		return err == nil
	}
	name := m.Name.String()
	if w.twin != nil {
		return k.addTwin(f, w.twin, m)
	}
	ring := k.joins(m.limb)
	if m.limb.onTop {
		ring = m.limb.from - 1
	}
	id, colour := f.Rings[ring].ID, f.Colours[0].ID
	base, tip := k.ends(m.limb)
	if w.set {
		at := k.placeAt(f, ring, m.way)
		tilt := math.Atan2(math.Hypot(tip[0]-base[0], tip[2]-base[2]), tip[1]-base[1]) * 180 / math.Pi
		return apply(&figure.SetOn{On: id, At: &at, How: figure.GluedOn, Tilt: math.Round(tilt), Name: name, Colour: colour, Units: w.units, Rows: w.rows})
	}
	points := 2 * w.units
	if above, ok := f.Upon(ring); ok {
		if free := k.freePoint(f, ring, points, m.way); free < 0 {
			unit := k.unitAt(f, above, m.way)
			if !apply(&figure.LeaveFree{Ring: f.Rings[above].ID, Unit: unit, Points: points}) {
				return false
			}
		}
	}
	point := k.freePoint(f, ring, points, m.way)
	if point < 0 || !apply(&figure.Grow{On: id, Point: point, As: w.as, Units: w.units, Rows: w.rows, Colour: colour, Name: name}) {
		return false
	}
	part := &f.Parts[len(f.Parts)-1]
	bend := k.bend(m, ring, base, tip, w.rows)
	return len(bend) == 0 || apply(&figure.EditPart{Part: part.ID, Name: part.Name, Front: part.Front, Bend: bend})
}

// addTwin adds the mirror image of a limb that is a part already, and leaves points free for it where they are not.
func (k *maker) addTwin(f *figure.Figure, of, m *Limb) bool {
	twin := &figure.AddTwin{Part: of.part, Name: m.Name.String()}
	if _, _, err := figure.Apply(f, twin); err == nil {
		return true
	}
	above, ok := f.Upon(m.limb.from - 1)
	if !m.limb.onTop || of.Set || !ok {
		return false
	}
	n := len(f.Rings[above].Cells)
	at := k.unitAt(f, above, m.way)
	for _, off := range []int{0, 1, -1, 2, -2} {
		then := f.Clone()
		_, _, err := figure.Apply(then, &figure.LeaveFree{Ring: f.Rings[above].ID, Unit: (at + off + n) % n, Points: 2 * of.Units})
		if err != nil {
			continue
		}
		if _, _, err := figure.Apply(then, twin); err == nil {
			*f = *then
			return true
		}
	}
	return false
}

// bend turns a part that grows from the wall into the way that the limb goes, over its first rows.
func (k *maker) bend(m *Limb, ring int, base, tip [3]float64, rows int) []figure.Bend {
	sin, cos := math.Sincos(m.way)
	d := minus(tip, base)
	out := math.Atan2(d[0]*sin+d[2]*cos, d[1]) - k.placed.Rings[ring].Lean
	degrees := math.Round(out * 180 / math.Pi)
	n := int(math.Ceil(math.Abs(degrees) / figure.MaxBend))
	if n == 0 || math.Abs(degrees) < 3 || n > rows {
		return nil
	}
	return []figure.Bend{{Rows: n, Out: math.Round(degrees / float64(n))}}
}

// direction is the direction of a turn of the standing part from the front, in radians.
func direction(u *figure.Unrolled, turn float64) float64 {
	return math.Remainder((turn-u.FrontTurn())*2*math.Pi, 2*math.Pi)
}

// placeAt is the place around a ring, in units from its seam, that lies in a direction.
func (k *maker) placeAt(f *figure.Figure, ring int, way float64) float64 {
	u := figure.Unroll(f)
	n := len(f.Rings[ring].Cells)
	best, least := 0.0, math.Inf(1)
	for i := range 2 * n {
		turn := u.Middle(ring, i/2)
		if i%2 == 1 {
			_, turn = u.Arc(ring, i/2)
		}
		if off := math.Abs(math.Remainder(direction(u, turn)-way, 2*math.Pi)); off < least-1e-9 {
			best, least = float64(i)/2, off
		}
	}
	return best
}

// unitAt is the unit of a ring before which a direction lies.
func (k *maker) unitAt(f *figure.Figure, ring int, way float64) int {
	at := int(math.Round(k.placeAt(f, ring, way) + 0.5))
	return at % len(f.Rings[ring].Cells)
}

// mostOff is how far a part may grow beside where its limb is, in radians.
const mostOff = 35 * math.Pi / 180

// freePoint is the first of so many neighbouring free points of a ring whose middle comes nearest to a direction; −1 where there
// are none.
func (k *maker) freePoint(f *figure.Figure, ring, points int, way float64) int {
	u, taken := figure.Unroll(f), f.Taken(ring)
	best, least := -1, mostOff
	for p := range taken {
		free := points <= len(taken)
		for i := 0; i < points && free; i++ {
			free = !taken[(p+i)%len(taken)]
		}
		if !free {
			continue
		}
		at := func(p int) float64 {
			lap := math.Floor(float64(p) / float64(len(taken)))
			p %= len(taken)
			return u.Tip(ring, p/2, p%2) + lap
		}
		middle := (at(p) + at(p+points-1)) / 2
		off := math.Abs(math.Remainder(direction(u, middle)-way, 2*math.Pi))
		if p%2 == 0 {
			off += 1e-3 // from a gap on each unit holds two of the ring together
		}
		if off < least {
			best, least = p, off
		}
	}
	return best
}

// paintLimbs gives the units of parts the paper that is nearest to the solid's surface where they stand.
func (k *maker) paintLimbs() {
	f := k.result.Figure
	if !k.mesh.Coloured || len(f.Parts) == 0 || k.tree == nil {
		return
	}
	placed := shape.Place(f, k.gauge)
	papers := labsOf(f.Colours)
	for i := range k.result.Limbs {
		m := &k.result.Limbs[i]
		if !m.Added || m.twin {
			continue
		}
		at, _ := f.PartIndex(m.part)
		part := &f.Parts[at]
		var runs []figure.PaintRun
		for row := part.First; row < part.First+part.Rows; row++ {
			for u := range f.Rings[row].Cells {
				spot := k.tree.nearest(placed.Middle(&placed.Spots[placed.Rings[row].First+u]))
				paper := nearestPaper(papers, k.mesh.lightAt(spot.triangle, spot.share))
				runs = append(runs, figure.PaintRun{Ring: f.Rings[row].ID, At: u, N: 1, Colour: f.Colours[paper].ID})
			}
		}
		if _, _, err := figure.Apply(f, &figure.Paint{Runs: runs}); err != nil {
			continue // it stays in the first paper
		}
	}
}
