package paper

import "slices"

// piece is the size of a piece of paper in ticks, kerf included. Turned pieces are the same piece:
// w ≤ h always.
type piece struct{ w, h int64 }

func newPiece(w, h int64) piece {
	if w > h {
		w, h = h, w
	}
	return piece{w, h}
}

// knot is a piece with all the cuts that lose neither a unit nor a cut.
type knot struct {
	piece
	finished bool // needs no cut: a unit, or paper that holds none
	units    int  // units it holds
	cuts     []cut
	tied     bool // cuts is filled
	round    int  // the round of solve in which ok was found
	ok       bool
}

// cut is one cut of a piece, with the stop at a part that holds units.
type cut struct {
	stop       int // index into net.stops
	alongH     bool
	part, rest *knot // the measured part and what is left
}

// net is the pieces that come up in best layouts, worked out as they are asked for.
type net struct {
	*table
	stops  []int64         // the stops that come up, in ticks
	index  map[int64]int   // where a stop stands in stops
	knots  map[piece]*knot // every piece met so far
	round  int
	work   int  // cuts looked at so far
	margin bool // an odd tick stands for a margin
	limit  int  // most work for the search for the fewest stops
}

// tieWork is the work of trying one stop on a new piece, in looks at a known cut (measured).
const tieWork = 10

func newNet(t *table, margin bool) *net {
	return &net{table: t, margin: margin, index: map[int64]int{}, knots: map[piece]*knot{}, limit: 150_000 + 6*len(t.best)}
}

func (n *net) knot(w, h int64) *knot {
	p := newPiece(w, h)
	if k, ok := n.knots[p]; ok {
		return k
	}
	v := n.score(p.w, p.h)
	k := &knot{piece: p, units: unitsOf(v), finished: v == 0 || p == piece{n.short, n.long}}
	n.knots[p] = k
	return k
}

// tie works out the best cuts of k: those whose parts hold as many units, in one cut less.
func (n *net) tie(k *knot) {
	if k.tied || k.finished {
		return
	}
	k.tied = true
	want := n.score(k.w, k.h) + 1
	for _, stop := range n.normal[1:] {
		if stop >= k.h {
			break
		}
		n.work += tieWork
		n.tieCut(k, stop, true, want)
		if stop < k.w && k.w != k.h {
			n.tieCut(k, stop, false, want)
		}
	}
}

func (n *net) tieCut(k *knot, stop int64, alongH bool, want score) {
	across, length := k.w, k.h
	if !alongH {
		across, length = k.h, k.w
	}
	v, left := n.score(across, stop), n.score(across, length-stop)
	if v == 0 || v+left != want {
		return
	}
	part, rest := n.knot(across, stop), n.knot(across, length-stop)
	k.cuts = append(k.cuts, cut{n.stop(stop), alongH, part, rest})
	if _, normal := n.floor(length - stop); left > 0 && !normal && !n.margin {
		// The other way round: the part with slack lies at the stop.
		k.cuts = append(k.cuts, cut{n.stop(length - stop), alongH, rest, part})
	}
}

// stop gives the index of a stop.
func (n *net) stop(ticks int64) int {
	id, ok := n.index[ticks]
	if !ok {
		id = len(n.stops)
		n.stops = append(n.stops, ticks)
		n.index[ticks] = id
	}
	return id
}

// fewestStops returns the smallest set of stop settings (indices into n.stops) with which the root can
// be cut up without loss, and whether it is proven that no smaller set exists.
func (n *net) fewestStops(root *knot) (stops []int, proven bool) {
	if root.finished {
		return nil, true
	}
	found := n.drop(root, n.someStops(root))
	for size := 1; size < len(found); size++ {
		seen := map[string]bool{}
		// The last cut of a branch measures a unit, so one of its two lengths is a stop.
		for _, first := range []int64{n.long, n.short} {
			id, ok := n.index[first]
			if !ok {
				continue
			}
			if set := n.extend(root, []int{id}, size, seen); set != nil {
				return set, true
			}
		}
		if n.spent() {
			return found, false
		}
	}
	return found, true
}

// spent says that the search has used up its work, a fixed number of cuts so that the answer never
// depends on the machine's pace.
func (n *net) spent() bool { return n.work > n.limit }

// extend looks for a working set of at most size stops that holds the given ones; nil if there is none.
func (n *net) extend(root *knot, stops []int, size int, seen map[string]bool) []int {
	stuck := n.stuck(root, stops)
	if len(stuck) == 0 {
		return stops
	}
	if len(stops) == size || n.spent() {
		return nil
	}
	for _, next := range n.missing(stuck, stops) {
		set := append(slices.Clone(stops), next)
		slices.Sort(set)
		key := setKey(set)
		if seen[key] {
			continue
		}
		seen[key] = true
		if found := n.extend(root, set, size, seen); found != nil || n.spent() {
			return found
		}
	}
	return nil
}

func setKey(set []int) string {
	b := make([]byte, 0, 2*len(set))
	for _, v := range set {
		b = append(b, byte(v), byte(v>>8))
	}
	return string(b)
}

// stuck lists the pieces that come up with these stops and cannot be cut up with them; none when the
// stops are enough. Any larger set that works cuts one of the stuck pieces with a stop that is
// missing here.
func (n *net) stuck(root *knot, stops []int) []*knot {
	n.round++
	var stuck []*knot
	if n.solve(root, stops, &stuck) {
		return nil
	}
	slices.Reverse(stuck) // the largest first
	return stuck
}

// solve says whether k can be cut up with the stops; every answer is kept for the round.
func (n *net) solve(k *knot, stops []int, stuck *[]*knot) bool {
	if k.finished {
		return true
	}
	if k.round == n.round {
		return k.ok
	}
	k.round, k.ok = n.round, false
	n.tie(k)
	for _, c := range k.cuts {
		n.work++
		if !slices.Contains(stops, c.stop) {
			continue
		}
		okPart := n.solve(c.part, stops, stuck)
		if n.solve(c.rest, stops, stuck) && okPart {
			k.ok = true
			return true
		}
	}
	*stuck = append(*stuck, k)
	return false
}

// missing lists the stops outside the set with which one of the stuck pieces could be cut.
func (n *net) missing(stuck []*knot, stops []int) []int {
	var out []int
	have := make([]bool, len(n.stops))
	for _, s := range stops {
		have[s] = true
	}
	for _, k := range stuck {
		for _, c := range k.cuts {
			n.work++
			if !have[c.stop] {
				have[c.stop] = true
				out = append(out, c.stop)
			}
		}
	}
	return out
}

// drop leaves out one stop after another as long as the rest is enough.
func (n *net) drop(root *knot, stops []int) []int {
	for i := 0; i < len(stops); {
		fewer := slices.Delete(slices.Clone(stops), i, i+1)
		if len(n.stuck(root, fewer)) == 0 {
			stops = fewer
		} else {
			i++
		}
	}
	return stops
}

// someStops finds a set that works: at each piece a stop that is already in use if possible, else the
// unit's own lengths, else the largest.
func (n *net) someStops(root *knot) []int {
	var used []int
	done := map[*knot]bool{}
	todo := []*knot{root}
	for len(todo) > 0 {
		k := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if done[k] || k.finished {
			continue
		}
		done[k] = true
		n.tie(k)
		c := n.someCut(k, used)
		if !slices.Contains(used, c.stop) {
			used = append(used, c.stop)
		}
		todo = append(todo, c.rest, c.part)
	}
	return used
}

func (n *net) someCut(k *knot, used []int) cut {
	best, rank := k.cuts[len(k.cuts)-1], 0 // the table holds a best cut for every unfinished piece
	for _, c := range k.cuts {
		r := 0
		switch stop := n.stops[c.stop]; {
		case slices.Contains(used, c.stop):
			r = 3
		case stop == n.long:
			r = 2
		case stop == n.short:
			r = 1
		}
		if r > rank {
			best, rank = c, r
		}
	}
	return best
}
