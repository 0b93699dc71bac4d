package picture

import (
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/sight"
)

// How far what surrounds a motif may be from the middle colour of the rim, as CIEDE2000 (own). It is some times as far as most of the rim
// is itself: before an even wall a white face is told from it, and a wall in soft light is one wall.
const (
	leastGround = 4.0
	mostGround  = 12.0
	groundTimes = 2.5
)

// groundWithin is that far, for a rim whose colours are so far from the middle one.
func groundWithin(rim []float64) float64 {
	slices.Sort(rim)
	return math.Min(mostGround, math.Max(leastGround, groundTimes*rim[len(rim)*4/5]))
}

// surroundings finds what surrounds the motif, and adds to the wants the units that the picture does not cover. From the rim of
// what is covered it goes on to all that touches and has the colour that most of the rim has. Of a motif that is cut out
// only what is not covered surrounds it.
func (k *chooser) surroundings(cut bool) (back []int) {
	if !cut {
		back = k.alike(k.rim())
	}
	if len(back) == 0 && k.c.Ground == "" {
		return nil
	}
	surrounds := make([]bool, len(k.at))
	for _, w := range back {
		surrounds[k.wants[w].unit] = true
	}
	for unit, w := range k.at {
		if w < 0 {
			surrounds[unit] = true
			k.wants = append(k.wants, want{unit: unit, bare: true})
		}
	}
	slices.SortFunc(k.wants, func(a, b want) int { return a.unit - b.unit })
	back = back[:0]
	for w := range k.wants {
		unit := k.wants[w].unit
		k.at[unit] = w
		if surrounds[unit] {
			back = append(back, w)
		}
	}
	return back
}

// neighbours tells of every unit of the ground which others of it touch it.
func (g *Ground) neighbours() func(unit int, visit func(int)) {
	touches := figure.TouchesOf(g.Figure)
	first := map[int]int{}
	for i, c := range g.units {
		if c.unit == 0 {
			first[c.ring] = i
		}
	}
	return func(unit int, visit func(int)) {
		c := g.units[unit]
		touches.Each(c.ring, c.unit, func(ring, other int) {
			if at, ok := first[ring]; ok {
				visit(at + other)
			}
		})
	}
}

// rim are the wants at the end of what the picture covers: in the first and the last row, or beside a unit that it does not cover.
func (k *chooser) rim() (out []int) {
	each := k.g.neighbours()
	low, high := k.g.units[0].ring, k.g.units[len(k.g.units)-1].ring
	for w := range k.wants {
		unit := k.wants[w].unit
		is := k.g.units[unit].ring == low || k.g.units[unit].ring == high
		each(unit, func(other int) { is = is || k.at[other] < 0 })
		if is {
			out = append(out, w)
		}
	}
	return out
}

// alike are the wants that have the middle colour of some, and touch those of them that do or one another.
func (k *chooser) alike(rim []int) (out []int) {
	if len(rim) == 0 {
		return nil
	}
	middle := func(of func(sight.Lab) float64) float64 {
		all := make([]float64, len(rim))
		for i, w := range rim {
			all[i] = of(k.wants[w].lab)
		}
		slices.Sort(all)
		return all[len(all)/2]
	}
	ground := sight.Lab{
		L: middle(func(l sight.Lab) float64 { return l.L }),
		A: middle(func(l sight.Lab) float64 { return l.A }),
		B: middle(func(l sight.Lab) float64 { return l.B }),
	}
	off := make([]float64, len(rim))
	for i, w := range rim {
		off[i] = sight.Difference(k.wants[w].lab, ground)
	}
	within := groundWithin(off)
	each := k.g.neighbours()
	known := make([]bool, len(k.wants))
	look := func(w int) {
		if w >= 0 && !known[w] && sight.Difference(k.wants[w].lab, ground) <= within {
			known[w] = true
			out = append(out, w)
		}
	}
	for _, w := range rim {
		look(w)
	}
	for i := 0; i < len(out); i++ {
		each(k.wants[out[i]].unit, func(other int) { look(k.at[other]) })
	}
	slices.Sort(out)
	return out
}

// images finds for each want the one whose place mirrors its place in the front line, itself on the line, −1 where none is.
func (k *chooser) images() []int {
	type place struct {
		ring int
		turn int64 // in hundred-thousandths
	}
	at := func(ring int, turn float64) place {
		turn -= math.Floor(turn + 0.5)
		whole := int64(math.Round(turn * 1e5))
		if whole == -50_000 { // the back is on either side
			whole = 50_000
		}
		return place{ring, whole}
	}
	known := map[place]int{}
	for w := range k.wants {
		c := k.g.units[k.wants[w].unit]
		known[at(c.ring, c.turn)] = w
	}
	out := make([]int, len(k.wants))
	for w := range out {
		c := k.g.units[k.wants[w].unit]
		mirrored, ok := known[at(c.ring, -c.turn)]
		if !ok {
			mirrored = -1
		}
		out[w] = mirrored
	}
	return out
}

// most is how many of the units that touch a lone unit must agree before it is repainted.
const most = 4

// clean repaints units that no touching unit shares the paper of, where at least four of those that touch (of six in a plain wall)
// agree on one that may still be used. It looks at the pattern as it was, so that what is repainted does not depend on the
// order; items get new papers as a whole.
func (k *chooser) clean() {
	each := k.g.neighbours()
	left := k.left()
	before := slices.Clone(k.paper)
	var around [figure.MaxColours]int
	for w := range k.wants {
		it := k.items[k.of[w]]
		if it.back || it.wants[0] != w {
			continue
		}
		clear(around[:])
		own := 0
		each(k.wants[w].unit, func(other int) {
			o := k.at[other]
			if o < 0 {
				return
			}
			if k.of[o] == k.of[w] {
				own++ // two halves of one motif hold each other
			}
			around[before[o]]++
		})
		if around[before[w]] > own {
			continue
		}
		for p, n := range around {
			if n >= most && p != before[w] && (left[p] < 0 || left[p] >= len(it.wants)) {
				for _, i := range it.wants {
					k.paper[i] = p
				}
				if left[p] >= 0 {
					left[p] -= len(it.wants)
				}
				if q := before[w]; left[q] >= 0 {
					left[q] += len(it.wants)
				}
				break
			}
		}
	}
}

// left is how many more wants may get each paper, −1 for any number.
func (k *chooser) left() []int {
	out := slices.Clone(k.limits)
	for _, p := range k.paper {
		if out[p] >= 0 {
			out[p]--
		}
	}
	return out
}
