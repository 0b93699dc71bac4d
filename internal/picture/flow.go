package picture

import "slices"

// flow gives every item one of a few papers, of which there are only so many, at the least total cost: a minimum-cost flow. It begins
// with the cheapest paper for each item and then moves the surplus along shortest chains (successive shortest paths; Ahuja, Magnanti,
// Orlin, Network Flows, 1993, chapter 9) in the small graph of the papers: from paper a to b it costs what the item costs that
// is cheapest to move there. The result is the least there is; nothing in it is decided by guess or by the clock.
type flow struct {
	n, m  int
	cost  func(item, paper int) int64
	caps  []int // of each paper, −1 for as many as there are items
	at    []uint8
	count []int
	heaps [][]int32 // of a to b: items that had a once, the cheapest to move first; those that moved on are passed over
}

// newFlow takes m papers, 255 at most.
func newFlow(n, m int, caps []int, cost func(item, paper int) int64) *flow {
	f := &flow{n: n, m: m, cost: cost, caps: caps, at: make([]uint8, n), count: make([]int, m)}
	for i := range n {
		best := 0
		for j := 1; j < m; j++ {
			if cost(i, j) < cost(i, best) {
				best = j
			}
		}
		f.at[i] = uint8(best)
		f.count[best]++
	}
	return f
}

// over says whether there is more of a paper than may be.
func (f *flow) over(j int) bool { return f.caps[j] >= 0 && f.count[j] > f.caps[j] }

func (f *flow) room(j int) bool { return f.caps[j] < 0 || f.count[j] < f.caps[j] }

// solve moves the surplus. It is not ok when there are fewer of all papers than items.
func (f *flow) solve() (ok bool) {
	any := func() bool {
		for j := range f.m {
			if f.over(j) {
				return true
			}
		}
		return false
	}
	if !any() {
		return true
	}
	f.fill()
	for any() {
		if !f.move() {
			return false
		}
	}
	return true
}

// total is the cost of all.
func (f *flow) total() (sum int64) {
	for i, j := range f.at {
		sum += f.cost(i, int(j))
	}
	return sum
}

// fill puts every item into the heaps of its paper.
func (f *flow) fill() {
	f.heaps = make([][]int32, f.m*f.m)
	for a := range f.m {
		var own []int32
		for i, j := range f.at {
			if int(j) == a {
				own = append(own, int32(i))
			}
		}
		for b := range f.m {
			if a == b {
				continue
			}
			h := slices.Clone(own)
			for k := len(h)/2 - 1; k >= 0; k-- {
				f.sink(h, k, a, b)
			}
			f.heaps[a*f.m+b] = h
		}
	}
}

// less orders items by what it costs to move them from a to b, and then by their numbers.
func (f *flow) less(x, y int32, a, b int) bool {
	cx, cy := f.cost(int(x), b)-f.cost(int(x), a), f.cost(int(y), b)-f.cost(int(y), a)
	return cx < cy || cx == cy && x < y
}

func (f *flow) sink(h []int32, k, a, b int) {
	for {
		c := 2*k + 1
		if c >= len(h) {
			return
		}
		if c+1 < len(h) && f.less(h[c+1], h[c], a, b) {
			c++
		}
		if !f.less(h[c], h[k], a, b) {
			return
		}
		h[k], h[c] = h[c], h[k]
		k = c
	}
}

func (f *flow) push(i int32, a, b int) {
	h := append(f.heaps[a*f.m+b], i)
	k := len(h) - 1
	for k > 0 && f.less(h[k], h[(k-1)/2], a, b) {
		h[k], h[(k-1)/2] = h[(k-1)/2], h[k]
		k = (k - 1) / 2
	}
	f.heaps[a*f.m+b] = h
}

// top is the item that is cheapest to move from a to b, −1 for none.
func (f *flow) top(a, b int) int32 {
	h := f.heaps[a*f.m+b]
	for len(h) > 0 && int(f.at[h[0]]) != a {
		h[0] = h[len(h)-1]
		h = h[:len(h)-1]
		f.sink(h, 0, a, b)
	}
	f.heaps[a*f.m+b] = h
	if len(h) == 0 {
		return -1
	}
	return h[0]
}

// far is more than any chain costs.
const far = int64(1) << 62

// move moves one item's worth of surplus along the cheapest chain from a paper there is too much of to one of which there is some
// left. It is not ok when none leads there.
func (f *flow) move() (ok bool) {
	dist, before := make([]int64, f.m), make([]int, f.m)
	for j := range dist {
		dist[j], before[j] = far, -1
		if f.over(j) {
			dist[j] = 0
		}
	}
	for changed := true; changed; { // Bellman and Ford: chains may gain on the way, but none gains in a circle
		changed = false
		for a := range f.m {
			if dist[a] == far {
				continue
			}
			for b := range f.m {
				if a == b {
					continue
				}
				i := f.top(a, b)
				if i < 0 {
					continue
				}
				if d := dist[a] + f.cost(int(i), b) - f.cost(int(i), a); d < dist[b] {
					dist[b], before[b], changed = d, a, true
				}
			}
		}
	}
	end := -1
	for j := range f.m {
		if f.room(j) && dist[j] < far && (end < 0 || dist[j] < dist[end]) {
			end = j
		}
	}
	if end < 0 {
		return false
	}
	for b := end; before[b] >= 0; b = before[b] {
		a := before[b]
		i := f.top(a, b)
		f.at[i] = uint8(b)
		f.count[a]--
		f.count[b]++
		for c := range f.m {
			if c != b {
				f.push(i, b, c)
			}
		}
	}
	return true
}
