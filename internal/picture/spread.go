package picture

import (
	"math"

	"tuckring/internal/sight"
)

// spread gives units papers so that what one is too light or too dark is made up for by those beside it: error diffusion (Floyd and
// Steinberg, Proceedings of the SID 17(2), 1976) along the staggered lattice. It goes from ring to ring upwards, to the right and to the left by
// turns, and hands on what is left, in linear light, in equal parts to the next unit of the ring and to those that stand upon this one: on the
// lattice all are about equally far away. Where the papers so found are more than there are, the least total difference to what was
// then wanted of every unit decides.
func (k *chooser) spread(papers []int) error {
	aims := make([][3]float64, len(k.wants))
	for w := range aims {
		aims[w] = k.wants[w].light
	}
	each := k.g.neighbours()
	done := make([]bool, len(k.wants))
	count := make([]int, len(k.papers))
	for _, w := range k.serpentine() {
		aim := bounded(aims[w], -1, 2)
		it := &k.items[k.of[w]]
		switch {
		case it.back: // has its paper
		case done[it.wants[0]]:
			k.paper[w] = k.paper[it.wants[0]]
		default:
			k.paper[w] = k.nearestOf(papers, labOf(seen(aim)))
		}
		done[w] = true
		count[k.paper[w]]++
		aims[w] = aim
		if it.back {
			continue
		}
		var to []int
		each(k.wants[w].unit, func(other int) {
			if o := k.at[other]; o >= 0 && !done[o] && !k.items[k.of[o]].back && !k.across(w, o) {
				to = append(to, o)
			}
		})
		for _, o := range to {
			for c := range aim {
				aims[o][c] += k.c.Spread * (aim[c] - k.lights[k.paper[w]][c]) / float64(len(to))
			}
		}
	}
	for p, n := range count {
		if k.limits[p] >= 0 && n > k.limits[p] {
			return k.bring(papers, aims)
		}
	}
	return nil
}

// bring gives the aims papers within the limits.
func (k *chooser) bring(papers []int, aims [][3]float64) error {
	was := k.costs
	k.costs = make([]int64, len(was))
	for i, it := range k.items {
		for _, w := range it.wants {
			if k.wants[w].bare {
				continue
			}
			lab := labOf(seen(aims[w]))
			for p := range k.labs {
				k.costs[i*len(k.papers)+p] += int64(math.Round(sight.Difference(lab, k.labs[p]) * micro))
			}
		}
	}
	out, ok := k.assign(papers)
	k.costs = was
	if !ok {
		return k.notSo()
	}
	for i, it := range k.items {
		for _, w := range it.wants {
			k.paper[w] = out.paper[i]
		}
	}
	return nil
}

// serpentine are the wants ring by ring, to the right and to the left by turns.
func (k *chooser) serpentine() []int {
	out := make([]int, 0, len(k.wants))
	left := false
	for from := 0; from < len(k.wants); {
		to := from
		for to < len(k.wants) && k.g.units[k.wants[to].unit].ring == k.g.units[k.wants[from].unit].ring {
			to++
		}
		for i := from; i < to; i++ {
			w := i
			if left {
				w = from + to - 1 - i
			}
			out = append(out, w)
		}
		from, left = to, !left
	}
	return out
}

// bounded keeps an aim from growing: what no paper can make up for is not handed on for ever.
func bounded(aim [3]float64, low, high float64) [3]float64 {
	for c := range aim {
		aim[c] = math.Min(high, math.Max(low, aim[c]))
	}
	return aim
}

// seen is the colour nearest to an aim that there is.
func seen(aim [3]float64) [3]float64 { return bounded(aim, 0, 1) }

// across says that there is an edge between two wants, and edges are kept.
func (k *chooser) across(a, b int) bool {
	return k.c.Edges && sight.Difference(k.wants[a].lab, k.wants[b].lab) >= anEdge
}

// nearestOf gives the one of some papers nearest to a colour; of two as near, the first.
func (k *chooser) nearestOf(papers []int, lab sight.Lab) int {
	best, least := papers[0], math.Inf(1)
	for _, p := range papers {
		if d := sight.Difference(lab, k.labs[p]); d < least {
			best, least = p, d
		}
	}
	return best
}
