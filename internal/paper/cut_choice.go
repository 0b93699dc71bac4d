package paper

import "slices"

// stem is a piece with the one cut chosen for it; identical pieces share a stem. A leaf has no parts:
// it is a unit, or paper that holds none.
type stem struct {
	piece
	units      int
	stop       int64
	alongH     bool        // the stop measures along the longer side
	part, rest *stem       // the measured part and what is left; nil in a leaf
	least      []int       // least[r]: fewest cuts that free r units; filled when first asked for
	some       map[int]int // of a large stem, the same for some r
}

// largeStem is the most units of a piece for which every way to share what is needed is weighed; of a larger one
// only those that take as much as they can from one of its two parts.
const largeStem = 5000

func (s *stem) leaf() bool { return s.part == nil }

// across is the side that a cut runs along: the one the stop does not measure.
func (p piece) across(alongH bool) int64 {
	if alongH {
		return p.w
	}
	return p.h
}

// goesOn says that the rest of s is cut on with the same stop along the same side.
func (s *stem) goesOn() bool {
	r := s.rest
	return !r.leaf() && r.stop == s.stop && r.across(r.alongH) == s.across(s.alongH)
}

// chooser picks one cut for every piece, with the stops given, so that a person changes the setting
// as seldom as can be arranged locally.
type chooser struct {
	*net
	stops []int
	picks map[*knot]pick
	stems map[*knot]*stem
}

type pick struct {
	cost int // settings of the stop, each kind of piece counted by itself
	cut  *cut
}

// impossible is the cost of a piece that the stops cannot cut up.
const impossible = 1 << 30

func (n *net) stems(root *knot, stops []int) *stem {
	c := chooser{net: n, stops: stops, picks: map[*knot]pick{}, stems: map[*knot]*stem{}}
	return c.stem(root)
}

func (c *chooser) pick(k *knot) pick {
	if k.finished {
		return pick{}
	}
	if p, ok := c.picks[k]; ok {
		return p
	}
	c.tie(k)
	best := pick{cost: impossible}
	for i := range k.cuts {
		if cost := c.cost(k, &k.cuts[i]); cost < best.cost {
			best = pick{cost, &k.cuts[i]}
		}
	}
	c.picks[k] = best
	return best
}

func (c *chooser) cost(k *knot, by *cut) int {
	if !slices.Contains(c.stops, by.stop) {
		return impossible
	}
	part, rest := c.pick(by.part), c.pick(by.rest)
	cost := 1 + part.cost
	if by.rest != by.part {
		cost += rest.cost
	}
	next := rest.cut
	if next != nil && next.stop == by.stop && by.rest.across(next.alongH) == k.across(by.alongH) {
		cost--
	}
	return min(cost, impossible)
}

func (c *chooser) stem(k *knot) *stem {
	if s, ok := c.stems[k]; ok {
		return s
	}
	s := &stem{piece: k.piece, units: k.units}
	c.stems[k] = s
	if by := c.pick(k).cut; by != nil {
		s.stop, s.alongH = c.net.stops[by.stop], by.alongH
		s.part, s.rest = c.stem(by.part), c.stem(by.rest)
	}
	return s
}

// allCuts counts the cuts that free every unit.
func (s *stem) allCuts() int {
	counted := map[*stem]int{}
	var count func(*stem) int
	count = func(s *stem) int {
		if s.leaf() || s.units == 0 {
			return 0
		}
		n, ok := counted[s]
		if !ok {
			n = 1 + count(s.part) + count(s.rest)
			counted[s] = n
		}
		return n
	}
	return count(s)
}

// cutsFor is the fewest cuts that free r units of s, as far as they are weighed (largeStem).
func (s *stem) cutsFor(r int) int {
	switch {
	case r == 0 || s.leaf():
		return 0
	case s.units <= largeStem:
		return s.leastCuts()[r]
	case r == s.units:
		return s.allCuts()
	}
	if n, ok := s.some[r]; ok {
		return n
	}
	most, fewest := min(r, s.part.units), max(0, r-s.rest.units)
	n := 1 + min(s.part.cutsFor(most)+s.rest.cutsFor(r-most), s.part.cutsFor(fewest)+s.rest.cutsFor(r-fewest))
	if s.some == nil {
		s.some = map[int]int{}
	}
	s.some[r] = n
	return n
}

// leastCuts fills and returns least: to free r units of s, free some from its part and the others
// from its rest, whichever way needs the fewest cuts.
func (s *stem) leastCuts() []int {
	if s.least != nil {
		return s.least
	}
	least := make([]int, s.units+1)
	if !s.leaf() {
		part, rest := s.part.leastCuts(), s.rest.leastCuts()
		for r := 1; r <= s.units; r++ {
			a := s.share(r)
			least[r] = 1 + part[a] + rest[r-a]
		}
	}
	s.least = least
	return least
}

// share says how many of r units come from the measured part; as many as possible among equals, so
// that what is left over stays in one piece.
func (s *stem) share(r int) int {
	if r == s.units {
		return s.part.units
	}
	if s.units > largeStem {
		most, fewest := min(r, s.part.units), max(0, r-s.rest.units)
		if s.part.cutsFor(fewest)+s.rest.cutsFor(r-fewest) < s.part.cutsFor(most)+s.rest.cutsFor(r-most) {
			return fewest
		}
		return most
	}
	part, rest := s.part.leastCuts(), s.rest.leastCuts()
	best := -1
	for a := min(r, s.part.units); a >= max(0, r-s.rest.units); a-- {
		if best < 0 || part[a]+rest[r-a] < part[best]+rest[r-best] {
			best = a
		}
	}
	return best
}
