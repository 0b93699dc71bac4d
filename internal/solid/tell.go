package solid

import (
	"math"

	"tuckring/internal/words"
)

// Told is a result as it travels (solid --json).
type Told struct {
	Rings []ToldRing `json:"rings"`
	// LeftOut is what the figure does not follow, in words.
	LeftOut        []string `json:"left_out"`
	MeanDistanceMM float64  `json:"mean_distance_mm"`
}

// ToldRing is a ring of the standing part: how many units its outline is long, and how many it has.
type ToldRing struct {
	Ring   int     `json:"ring"`
	Wanted float64 `json:"wanted"`
	Units  int     `json:"units"`
}

// Tell puts the result in the form in which it travels.
func (r *Result) Tell() Told {
	out := Told{Rings: make([]ToldRing, len(r.Rings)), LeftOut: []string{}, MeanDistanceMM: r.MeanDistanceMM}
	for i, ring := range r.Rings {
		out.Rings[i] = ToldRing{ring.Ring, ring.Wanted, ring.Units}
	}
	for _, t := range r.LeftOut {
		out.LeftOut = append(out.LeftOut, words.English.Say(t))
	}
	return out
}

// Say tells of a result in sentences.
func (r *Result) Say() []words.Text {
	worst := &r.Rings[0]
	for i := range r.Rings {
		if r.Rings[i].DistanceMM > worst.DistanceMM {
			worst = &r.Rings[i]
		}
	}
	out := []words.Text{
		words.T("solid.said.height", "Count", len(r.Rings), "Height", tenth(r.HeightMM)),
		words.T("solid.said.distance", "Mean", tenth(r.MeanDistanceMM), "Worst", tenth(worst.DistanceMM), "Ring", worst.Ring),
	}
	if !r.Coloured {
		out = append(out, words.T("solid.said.bare", "Name", r.Figure.Colours[0].Name))
	}
	for i := range r.Limbs {
		if m := &r.Limbs[i]; m.Added {
			out = append(out, m.said())
		}
	}
	return append(out, r.LeftOut...)
}

// said tells what a limb became.
func (m *Limb) said() words.Text {
	if m.As == "chain" {
		return words.T("solid.said.chain", "Name", m.Name, "Count", m.Rows)
	}
	return words.T("solid.said.tube", "Name", m.Name, "Units", m.Units, "Count", m.Rows)
}

// From how far on something is worth telling.
const (
	tellUnits = 2.5 // units that a ring has more or fewer than it would want
	tellLean  = 0.7 // pitches that the solid's middle is off the axis
	tellRound = 1.0 // pitches that the solid is off a circle
)

// tell says what of the solid the figure does not follow: where, and by how much.
func (k *maker) tell() {
	r, t := k.result, k.trunk
	out := &r.LeftOut
	for i := range r.Limbs {
		if m := &r.Limbs[i]; !m.Added {
			*out = append(*out, m.left())
		}
	}
	r.limbsLeft = len(*out)
	if k.warns.Key != "" {
		*out = append(*out, k.warns)
	}
	if k.own != nil && k.own.off > 0 {
		*out = append(*out, words.T("solid.left.own", "Count", k.own.off))
	}
	if k.own != nil {
		return
	}
	pitch := k.gauge.Pitch.Best
	if t.above > 0 && !k.goesOn() {
		*out = append(*out, words.T("solid.left.ends", "Height", tenth(r.HeightMM), "All", tenth(k.HeightMM), "Count", t.above))
	}
	if t.legs > 0 {
		*out = append(*out, words.T("solid.left.legs", "Ring", t.legs, "Feet", t.feet))
	}
	if more := len(t.limbs) - len(r.Limbs); more > 0 {
		*out = append(*out, words.T("solid.left.bumps", "Count", more))
	}
	k.stretches(func(i int) float64 { return r.Rings[i].Wanted - float64(r.Rings[i].Units) }, tellUnits, func(where words.Text, most float64) words.Text {
		return words.T("solid.left.narrower", "Where", where, "Count", int(math.Round(most)))
	})
	k.stretches(func(i int) float64 { return float64(r.Rings[i].Units) - math.Max(r.Rings[i].Wanted, 0) }, tellUnits, func(where words.Text, most float64) words.Text {
		return words.T("solid.left.wider", "Where", where, "Count", int(math.Round(most)))
	})
	k.stretches(func(i int) float64 { return t.lean[i] / pitch }, tellLean, func(where words.Text, most float64) words.Text {
		return words.T("solid.left.leans", "Where", where, "Off", tenth(most*pitch))
	})
	k.stretches(func(i int) float64 { return t.body[i].outOfRound() / pitch }, tellRound, func(where words.Text, most float64) words.Text {
		return words.T("solid.left.round", "Where", where, "Off", tenth(most*pitch))
	})
}

// goesOn says whether all that stands above the end of the body is there as parts.
func (k *maker) goesOn() bool {
	parts := 0
	for i := range k.result.Limbs {
		m := &k.result.Limbs[i]
		if m.limb.to < len(k.trunk.body) {
			continue
		}
		if !m.Added {
			return false
		}
		parts++
	}
	return parts > 0
}

// stretches says each stretch of rings where a measure is at least so much, and the most that it is there.
func (k *maker) stretches(measure func(i int) float64, least float64, say func(where words.Text, most float64) words.Text) {
	n := len(k.result.Rings)
	for i := 0; i < n; {
		from, most := i, 0.0
		for i < n && measure(i) >= least {
			most = math.Max(most, measure(i))
			i++
		}
		if i > from {
			where := words.T("solid.left.rings", "From", from+1, "To", i)
			if i == from+1 {
				where = words.T("solid.left.ring", "Ring", i)
			}
			k.result.LeftOut = append(k.result.LeftOut, say(where, most))
		}
		i++
	}
}

// outOfRound is how far an outline is off the circle that is as long, on average over all directions, in mm.
func (o *loop) outOfRound() float64 {
	sum, n, r := 0.0, 0, o.perimeter/(2*math.Pi)
	for _, reach := range o.profile {
		if reach > 0 {
			sum, n = sum+math.Abs(reach-r), n+1
		}
	}
	return sum / math.Max(1, float64(n))
}

// Told are all things that the figure does not follow but for limbs, of which each tells itself.
func (r *Result) Told() []words.Text { return r.LeftOut[r.limbsLeft:] }

// Told tells of a limb: what it is a part of the figure as, or what it could become.
func (m *Limb) Told() words.Text {
	if m.Added {
		return m.said()
	}
	return m.left()
}

// left tells of a limb that is left out, and what it could become.
func (m *Limb) left() words.Text {
	thick := tenth(m.AroundMM / math.Pi)
	switch {
	case m.As == "":
		return words.T("solid.left.limb", "Name", m.Name, "From", m.From, "To", m.To, "Long", tenth(m.LongMM), "Thick", thick)
	case m.As == "chain":
		return words.T("solid.left.chain", "Name", m.Name, "From", m.From, "To", m.To, "Long", tenth(m.LongMM), "Thick", thick, "Count", m.Rows)
	}
	return words.T("solid.left.tube", "Name", m.Name, "From", m.From, "To", m.To, "Long", tenth(m.LongMM), "Thick", thick, "Units", m.Units, "Count", m.Rows)
}

// tenth rounds to a tenth.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }

// endSpire ends the body where it is suddenly thin up to its top: a spire is no ring's work but a chain's.
func (t *trunk) endSpire(pitch float64) {
	const thick, thin = 6, 2.5
	units := func(i int) float64 { return t.body[i].perimeter / pitch }
	end := len(t.body)
	for end > 0 && units(end-1) < thin {
		end--
	}
	if n := len(t.body) - end; n < 2 || end < 2 || units(end-2) < thick {
		return
	}
	l := limb{from: end, to: len(t.body) - 1, onTop: true}
	for i := end; i < len(t.body); i++ {
		o := &t.body[i]
		l.bits = append(l.bits, bit{i, o.middle, o.perimeter, false, o.rough})
	}
	t.limbs, t.above = append(t.limbs, l), 1
	t.body, t.lean = t.body[:end], t.lean[:end]
}
