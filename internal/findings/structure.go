package findings

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// LongStraight is how many rings a straight wall may have before it gets weak: from memory.
const LongStraight = 40

const (
	fewUnits  = 6 // fewer in a ring hardly close to a tube: common practice
	fewGrown  = 4 // and of a tube that grows from points, such as an ear: common practice
	mostNamed = 8 // units that a finding names one by one
)

// unit checks whether the paper folds, and comfortably.
func (c *checker) unit() {
	m := fold.Of(c.f.Unit)
	if m.Comfortable() {
		return
	}
	rule := "unit.short"
	switch {
	case !m.Foldable():
		rule = "unit.no_flap"
	case m.NeedsTuck():
		rule = "unit.tuck"
	}
	fix, edit := c.otherPaper(m)
	f := c.addWith(fix, Warning, rule, Practice, 0, "unit", "Long", mm(m.Unit.LongMM), "Short", mm(m.Unit.ShortMM),
		"Fold", words.T("findings.fold."+string(m.Unit.Fold)), "Flap", mm(m.FlapMM), "Leg", mm(m.LegMM))
	f.Edit = edit
}

// otherPaper says which other fold or trim would do.
func (c *checker) otherPaper(m fold.Measures) (words.Text, figure.Edit) {
	a := m.Advice()
	edit := &figure.SetUnit{LongMM: m.Unit.LongMM, ShortMM: m.Unit.ShortMM, Fold: m.Unit.Fold}
	key, side := "", 0.0
	switch {
	case a.TrimLongMM > 0:
		key, side, edit.LongMM = "long", a.TrimLongMM, a.TrimLongMM
	case a.TrimShortMM > 0:
		key, side, edit.ShortMM = "short", a.TrimShortMM, a.TrimShortMM
	}
	trim := words.T(words.Among("findings.trim.", key, "long", "short"), "Side", mm(side))
	if a.OtherFold == "" {
		if key == "" {
			return words.T("findings.unit.none"), nil
		}
		return words.T("findings.unit.trim", "Trim", trim), edit
	}
	fold := words.T("findings.fold." + string(a.OtherFold))
	edit = &figure.SetUnit{LongMM: m.Unit.LongMM, ShortMM: m.Unit.ShortMM, Fold: a.OtherFold}
	if key == "" {
		return words.T("findings.unit.fold", "Fold", fold), edit
	}
	return words.T("findings.unit.fold_or_trim", "Fold", fold, "Trim", trim), edit
}

// mm says a length to a tenth of a millimetre.
func mm(v float64) string { return tenth(v) }

// tenth says a number to a tenth.
func tenth(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

func (c *checker) rings() {
	c.smallRings()
	c.straightWalls()
	for i := range c.f.Rings {
		if c.f.Footing(i).OnTable() {
			continue
		}
		if !c.f.Open(i) && !c.f.Footing(i).Grows() {
			c.countJump(i)
		}
		c.fourBesideFour(i)
		c.bridges(i)
		c.misfits(i)
		c.crowded(i)
	}
}

// smallRings notes stretches of rings with fewer than 6 units, of parts that close.
func (c *checker) smallRings() {
	c.eachPart(func(first, end int) {
		few := fewUnits
		if c.f.Footing(first).Grows() {
			few = fewGrown
		}
		for i := first; i < end; {
			to, least := i, math.MaxInt
			for to < end && len(c.f.Rings[to].Cells) < few && !c.f.Open(to) {
				least = min(least, len(c.f.Rings[to].Cells))
				to++
			}
			if to > i {
				rule := "few_units"
				switch several, bottom := to > i+1, c.f.Footing(i).OnTable(); { // below ring 1 there is none to end the figure with
				case several && bottom:
					rule = "few_units.bottom_rings"
				case several:
					rule = "few_units.rings"
				case bottom:
					rule = "few_units.bottom"
				}
				c.add(Warning, rule, Practice, i+1, c.where(i), "Ring", c.first(i, to-1), "Last", c.f.RowName(to-1), "Units", least, "Few", few)
			}
			i = to + 1
		}
	})
}

// eachPart calls do with the rows of every part.
func (c *checker) eachPart(do func(first, end int)) {
	if len(c.f.Parts) == 0 {
		do(0, len(c.f.Rings))
	}
	for k := range c.f.Parts {
		do(c.f.Parts[k].First, c.f.Parts[k].First+c.f.Parts[k].Rows)
	}
}

// first is what a sentence calls the first of several rows of a part by: the part is named with the last.
func (c *checker) first(row, last int) any {
	if row == last {
		return c.f.RowName(row)
	}
	return c.f.RowNumber(row)
}

// below is what a sentence calls the row by that another stands on.
func (c *checker) below(foot figure.Footing) any { return c.f.RowName(foot.Ring()) }

// countJump notes a ring whose count differs from the one below by more than a third of it. A step of
// just a third is published: the 68-unit figure of The Star (Malaysia), 14 March 2012, closes from 12
// units to 8.
func (c *checker) countJump(i int) {
	foot, here := c.f.Footing(i), len(c.f.Rings[i].Cells)
	below := foot.Units()
	step := here - below
	if step < 0 {
		step = -step
	}
	if 3*step <= below {
		return
	}
	low, high := below-below/3, below+below/3
	c.add(Warning, "count_jump", Published, i+1, c.where(i),
		"Ring", c.f.RowName(i), "Units", here, "Below", c.below(foot), "BelowUnits", below, "Low", low, "High", high)
}

// straightWalls notes stretches of more than 40 rings with one count and one side out throughout. The
// edit turns the short side of their middle ring outwards.
func (c *checker) straightWalls() {
	c.eachPart(func(first, end int) {
		if c.f.Open(first) {
			return // see droops
		}
		from := first
		for i := first + 1; i <= end; i++ {
			if i < end && c.carriesOn(from, i) {
				continue
			}
			if n := i - from; n > LongStraight {
				f := c.add(Warning, "straight", Memory, from+1, c.where(from), "Ring", c.first(from, i-1), "Last", c.f.RowName(i-1), "Rings", n, "Most", LongStraight)
				if middle := c.f.Rings[from+n/2]; middle.ID > 0 {
					f.Edit = &figure.Paint{Runs: []figure.PaintRun{{Ring: middle.ID, N: len(middle.Cells), Side: other(middle.Cells[0].Side).String()}}}
				}
			}
			from = i
		}
	})
}

// carriesOn tells whether ring i continues a straight wall that began with ring from.
func (c *checker) carriesOn(from, i int) bool {
	a, b := c.f.Rings[from].Cells, c.f.Rings[i].Cells
	return len(a) == len(b) && oneSide(a) && oneSide(b) && a[0].Side == b[0].Side
}

func oneSide(cells []figure.Cell) bool {
	for _, c := range cells {
		if c.Side != cells[0].Side {
			return false
		}
	}
	return true
}

func other(s figure.Side) figure.Side {
	if s == figure.Short {
		return figure.Long
	}
	return figure.Short
}

// fourBesideFour notes units that take four points next to each other.
func (c *checker) fourBesideFour(i int) {
	r := &c.f.Rings[i]
	n := len(r.Cells)
	marked := make([]bool, n)
	for k := range n {
		next := (k + 1) % n
		if next == 0 && c.f.Open(i) {
			break
		}
		gap := int(r.Cells[next].Free)
		if next == 0 {
			gap += r.FreeEnd
		}
		if r.Cells[k].Takes == figure.MaxTakes && r.Cells[next].Takes == figure.MaxTakes && gap == 0 {
			marked[k], marked[next] = true, true
		}
	}
	var units []int
	for k, m := range marked {
		if m {
			units = append(units, k)
		}
	}
	if len(units) > 0 {
		f := c.add(Warning, "four_beside_four", Practice, i+1, c.where(i), "Ring", c.f.RowName(i), "Units", len(units))
		f.Cells = c.cells(i, units...)
	}
}

// misfits notes units that do not reach all points that they take, even when all units of the wall push and lean as far
// as paper lets them: that is what the maker's hands will feel.
func (c *checker) misfits(i int) {
	list := c.placed.Misfits(c.f, i)
	if len(list) == 0 {
		return
	}
	units, away := make([]int, len(list)), 0.0
	for k, m := range list {
		units[k], away = m.Unit, math.Max(away, m.AwayMM)
	}
	rule := "misfit"
	if len(list) > 1 {
		rule = "misfit.units"
	}
	f := c.add(Warning, rule, Memory, i+1, c.where(i), "Ring", c.f.RowName(i), "Units", named(units), "Away", mm(away))
	f.Cells = c.cells(i, units...)
}

// named numbers units, from 1, the first few of them.
func named(units []int) string {
	names := make([]string, 0, mostNamed)
	for _, u := range units[:min(len(units), mostNamed)] {
		names = append(names, strconv.Itoa(u+1))
	}
	said := strings.Join(names, ", ")
	if len(units) > mostNamed {
		said += " …"
	}
	return said
}

// crowded notes units that have no room beside each other, however hard they are pressed together.
func (c *checker) crowded(i int) {
	units, closest := c.placed.Crowded(c.f, i)
	if len(units) == 0 {
		return
	}
	f := c.add(Warning, "crowded", Memory, i+1, c.where(i), "Ring", c.f.RowName(i), "Units", named(units),
		"Apart", mm(closest), "Pitch", mm(c.placed.Gauge.Pitch.Best))
	f.Cells = c.cells(i, units...)
}

// bridges notes a ring none of whose units takes points of two neighbours: nothing holds the ring
// below together. For plain units the edit turns the ring, with all above it, by one point.
func (c *checker) bridges(i int) {
	foot := c.f.Footing(i)
	if foot.Grows() || foot.Units() == 1 { // a part holds together above; see parts.go
		return
	}
	owners := foot.TakenBy(&c.f.Rings[i])
	for k := range foot.Units() {
		left, right, ok := foot.Gap(k)
		if ok && owners[left] >= 0 && owners[left] == owners[right] {
			return
		}
	}
	f := c.add(Warning, "no_bridge", Practice, i+1, c.where(i), "Ring", c.f.RowName(i), "Below", c.below(foot))
	plain := true
	for _, cell := range c.f.Rings[i].Cells {
		plain = plain && cell.Takes == figure.PlainTakes
	}
	if plain && !foot.Line() && c.f.Rings[i].ID > 0 {
		turn := &figure.Turn{By: 1}
		for row, more := i, true; more; row, more = c.f.Upon(row) {
			turn.Rings = append(turn.Rings, c.f.Rings[row].ID)
		}
		f.Edit = turn
	}
}

// extras notes glued pieces that are wider than the ring they are glued to. The edit makes them fit.
func (c *checker) extras() {
	for i := range c.f.Extras {
		e := &c.f.Extras[i]
		tube := c.placed.Size.Rings[e.RingIndex()].Diameter
		width := math.Max(e.Width, e.Diameter)
		if e.Kind != figure.Glued || width <= tube.Best || c.f.Open(e.RingIndex()) {
			continue
		}
		f := c.add(Warning, "wide_piece", Memory, e.Ring, "extras["+strconv.Itoa(i)+"]",
			"Name", e.Name, "Width", mm(width), "Ring", c.f.RowName(e.RingIndex()), "Tube", mm(math.Round(tube.Best)))
		f.Extra = e.ID
		if fit := math.Floor(tube.Low); fit >= figure.MinUnitMM && e.ID > 0 {
			f.Edit = c.narrower(e, fit)
		}
	}
}

// leastHang is how far an extra hangs before it is said, in mm: less than a ruler shows.
const leastHang = shape.DefaultRounding

// hanging notes extras that reach down below the rings: the figure would stand on them.
func (c *checker) hanging() {
	for _, h := range c.placed.Hanging {
		if h.MM < leastHang {
			continue
		}
		if k, ok := c.f.PartIndex(h.Part); ok {
			part := &c.f.Parts[k]
			c.add(Hint, "hangs_below.part", Memory, part.First+1, "parts["+strconv.Itoa(k)+"]", "Part", part.Name, "Below", mm(math.Round(h.MM)))
			continue
		}
		i := slices.IndexFunc(c.f.Extras, func(e figure.Extra) bool { return e.ID == h.ID })
		e := &c.f.Extras[i]
		f := c.add(Hint, "hangs_below", Memory, e.Ring, "extras["+strconv.Itoa(i)+"]", "Name", e.Name, "Below", mm(math.Round(h.MM)))
		f.Extra = e.ID
	}
}

func (c *checker) narrower(e *figure.Extra, width float64) figure.Edit {
	s := c.f.ExtraState(e)
	if e.Diameter > 0 {
		s.Diameter = width
	} else {
		s.Width = width
	}
	return &figure.EditExtra{Extra: s}
}
