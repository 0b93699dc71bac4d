package picture

import (
	"math"
	"slices"
	"sort"
)

// medians chooses the k of m papers with which all items together cost least (the k-median problem). Where counted work
// allows it weighs every choice that could be the best, by branch and bound: a choice is passed over when a bound says that
// nothing better can come of it. The bound is that of Lagrange's relaxation, each item's paper priced, with steps along the subgradient
// (Cornuéjols, Fisher, Nemhauser, Management Science 23(8), 1977). Beyond the work the best that was found is given, and the bound.
type medians struct {
	n, m, k int
	cost    []float64 // of item i and paper j at j·n+i, in millionths, whole numbers
	work    int       // visits of an item and a paper that may still be made

	best  []int   // papers of the best choice so far, in order
	total float64 // and what it costs
	open  float64 // the least that what was not weighed for want of work could cost
}

// newMedians takes costs as chooser keeps them: of item i and paper j at i·m+j.
func newMedians(costs []int64, n, m, k, work int) *medians {
	s := &medians{n: n, m: m, k: k, work: work, cost: make([]float64, n*m), total: math.Inf(1), open: math.Inf(1)}
	for i := range n {
		for j := range m {
			s.cost[j*n+i] = float64(costs[i*m+j])
		}
	}
	return s
}

func (s *medians) column(j int) []float64 { return s.cost[j*s.n:][:s.n] }

// Whether a paper is in every choice at hand, in none, or open.
const (
	undecided = iota
	chosen
	leftOut
)

// solve gives the papers, what they cost, and the least that any choice can cost.
// Costs and prices are whole numbers, so that no sum is ever rounded.
func (s *medians) solve(must []int) (papers []int, total, bound int64) {
	state := make([]uint8, s.m)
	for _, j := range must {
		state[j] = chosen
	}
	s.seed(state)
	prices := s.cheapest()
	s.branch(state, prices, rootRounds)
	bound = int64(s.total)
	if s.open < s.total {
		bound = int64(s.open)
	}
	return s.best, int64(s.total), bound
}

// seed finds a good choice: one paper after another that helps most, and then exchanges while they help.
func (s *medians) seed(state []uint8) {
	var set []int
	for j := range state {
		if state[j] == chosen {
			set = append(set, j)
		}
	}
	for len(set) < s.k {
		set = append(set, s.next(set))
	}
	s.note(set)
	for s.work > 0 && s.exchange(state) {
	}
}

// nearest is the least cost of each item with a set of papers, +Inf with none.
func (s *medians) nearest(set []int) []float64 {
	out := make([]float64, s.n)
	for i := range out {
		out[i] = math.Inf(1)
	}
	for _, j := range set {
		for i, c := range s.column(j) {
			out[i] = math.Min(out[i], c)
		}
	}
	s.work -= s.n * len(set)
	return out
}

// next is the paper that helps a set most.
func (s *medians) next(set []int) int {
	near := s.nearest(set)
	best, least := -1, math.Inf(1)
	for j := range s.m {
		if slices.Contains(set, j) {
			continue
		}
		sum := 0.0
		for i, c := range s.column(j) {
			sum += math.Min(near[i], c)
		}
		s.work -= s.n
		if best < 0 || sum < least {
			best, least = j, sum
		}
	}
	return best
}

// note remembers a choice if it is the best so far.
func (s *medians) note(set []int) bool {
	sum := 0.0
	for _, c := range s.nearest(set) {
		sum += c
	}
	if sum < s.total {
		s.best, s.total = slices.Sorted(slices.Values(set)), sum
		return true
	}
	return false
}

// exchange looks for one paper of the best choice that another does better than.
func (s *medians) exchange(state []uint8) bool {
	set := s.best
	for x := range set {
		if state[set[x]] == chosen {
			continue
		}
		rest := slices.Delete(slices.Clone(set), x, x+1)
		if s.work < 0 {
			return false
		}
		if j := s.next(rest); j != set[x] && s.note(append(rest, j)) {
			return true
		}
	}
	return false
}

// cheapest prices every item at the second least of its costs, a good place to begin from.
func (s *medians) cheapest() []float64 {
	one, two := make([]float64, s.n), make([]float64, s.n)
	for i := range one {
		one[i], two[i] = math.Inf(1), math.Inf(1)
	}
	for j := range s.m {
		for i, c := range s.column(j) {
			if c < one[i] {
				one[i], two[i] = c, one[i]
			} else if c < two[i] {
				two[i] = c
			}
		}
	}
	for i := range two {
		if math.IsInf(two[i], 1) {
			two[i] = one[i]
		}
	}
	return two
}

// gainOf is what each paper gains at some prices, at most 0, and the papers that are not left out, best gain first, those that must
// be in before all.
func (s *medians) gainOf(state []uint8, prices []float64) (gains []float64, order []int) {
	gains = make([]float64, s.m)
	for j := range s.m {
		if state[j] == leftOut {
			continue
		}
		sum := 0.0
		for i, c := range s.column(j) {
			if d := c - prices[i]; d < 0 {
				sum += d
			}
		}
		gains[j] = sum
		order = append(order, j)
		s.work -= s.n
	}
	sort.SliceStable(order, func(a, b int) bool {
		x, y := order[a], order[b]
		if (state[x] == chosen) != (state[y] == chosen) {
			return state[x] == chosen
		}
		return gains[x] < gains[y]
	})
	return gains, order
}

// rounds is how many steps are made along the subgradient.
const (
	rootRounds   = 200
	branchRounds = 12
)

// relax raises the bound of a branch, and decides papers that the best choice must have or cannot have. done says that nothing better
// than the best so far is left in it.
func (s *medians) relax(state []uint8, prices []float64, rounds int) (bound float64, done bool) {
	bound = math.Inf(-1)
	taken := make([]int8, s.n)
	speed, since := 2.0, 0
	best := slices.Clone(prices)
	for range rounds {
		gains, order := s.gainOf(state, prices)
		if len(order) < s.k {
			return math.Inf(1), true
		}
		sum := 0.0
		for _, v := range prices {
			sum += v
		}
		for _, j := range order[:s.k] {
			sum += gains[j]
		}
		if sum > bound {
			bound, since = sum, 0
			copy(best, prices)
			s.note(order[:s.k])
			if bound > s.total-1 {
				return bound, true
			}
			s.decide(state, gains, order, bound)
		} else if since++; since >= 8 {
			speed, since = speed/2, 0
		}
		if s.work < 0 || speed < 1e-3 {
			break
		}
		for i := range taken {
			taken[i] = 1
		}
		for _, j := range order[:s.k] {
			for i, c := range s.column(j) {
				if c < prices[i] {
					taken[i]--
				}
			}
		}
		s.work -= s.n * s.k
		norm := 0
		for _, t := range taken {
			norm += int(t) * int(t)
		}
		if norm == 0 {
			break
		}
		step := speed * (s.total*1.0005 - sum) / float64(norm)
		for i, t := range taken {
			prices[i] += math.Round(step * float64(t))
		}
	}
	copy(prices, best)
	return bound, false
}

// decide leaves papers out whose gain is so small, or takes those in whose gain is so great, that every choice otherwise costs more than the best
// so far.
func (s *medians) decide(state []uint8, gains []float64, order []int, bound float64) {
	last := gains[order[s.k-1]]
	next := math.Inf(1)
	if len(order) > s.k {
		next = gains[order[s.k]]
	}
	for place, j := range order {
		if state[j] != undecided {
			continue
		}
		switch {
		case place >= s.k && bound+gains[j]-last > s.total:
			state[j] = leftOut
		case place < s.k && bound-gains[j]+next > s.total:
			state[j] = chosen
		}
	}
}

// branch weighs all choices that a state leaves open.
func (s *medians) branch(state []uint8, prices []float64, rounds int) {
	bound, done := s.relax(state, prices, rounds)
	if done {
		return
	}
	if s.work < 0 {
		s.open = math.Min(s.open, bound)
		return
	}
	var in, free []int
	for j, is := range state {
		switch is {
		case chosen:
			in = append(in, j)
		case undecided:
			free = append(free, j)
		}
	}
	switch {
	case len(in) > s.k || len(in)+len(free) < s.k:
		return
	case len(in) == s.k:
		s.note(in)
		return
	case len(in)+len(free) == s.k:
		s.note(append(in, free...))
		return
	}
	gains, _ := s.gainOf(state, prices)
	pick := free[0]
	for _, j := range free {
		if gains[j] < gains[pick] {
			pick = j
		}
	}
	for _, is := range []uint8{chosen, leftOut} {
		next := slices.Clone(state)
		next[pick] = is
		s.branch(next, slices.Clone(prices), branchRounds)
	}
}
