package paper

import "math/big"

// bound is a number of units that no layout holds more than, edge to edge or not: the smallest of
//
//   - the area of the sheet over that of a unit, the sheet first trimmed to the largest sums of unit lengths and
//     widths that fit its sides, since every layout can be pushed together to these;
//   - the bound of F. W. Barnes (Packing the maximum number of m × n tiles in a large p × q rectangle, Discrete
//     Mathematics 26, 1979; reference from memory, proof here). A unit of l × s is made of bars l × 1, and of
//     bars 1 × s. Colour the square at x, y by (x + y) mod l: every bar of length l covers each colour once, so
//     there are no more bars than squares of the rarest colour. With r and q what is left of the sheet's sides after
//     division by l, all but r × q is coloured evenly, and there the rarest colour has max(0, r + q − l)
//     squares. So at least min(r·q, (l − r)·(l − q)) of the area stays bare; and likewise for s.
//
// Lengths are ticks with the kerf added, which are whole numbers. The unit fits the sheet.
func bound(long, short, w, h int64) int {
	best := -1
	for _, sw := range []int64{w, pushed(long, short, w)} {
		for _, sh := range []int64{h, pushed(long, short, h)} {
			if n := barnes(long, short, sw, sh); best < 0 || n < best {
				best = n
			}
		}
	}
	return best
}

// pushed is the largest sum of unit lengths and widths up to v.
func pushed(long, short, v int64) int64 {
	best := int64(0)
	for a := int64(0); a <= v; a += long {
		best = max(best, a+(v-a)/short*short)
	}
	return best
}

func barnes(long, short, w, h int64) int {
	bare := big.NewInt(0)
	for _, bar := range []int64{long, short} {
		r, q := w%bar, h%bar
		if left := least(product(r, q), product(bar-r, bar-q)); left.Cmp(bare) > 0 {
			bare = left
		}
	}
	covered := new(big.Int).Sub(product(w, h), bare)
	return int(covered.Div(covered, product(long, short)).Int64())
}

func product(a, b int64) *big.Int { return new(big.Int).Mul(big.NewInt(a), big.NewInt(b)) }

func least(a, b *big.Int) *big.Int {
	if a.Cmp(b) < 0 {
		return a
	}
	return b
}
