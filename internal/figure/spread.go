package figure

import (
	"math"
	"slices"
)

// bridges counts the units that take points of more than one unit of the ring below, and so hold
// neighbours together, when the ring starts at a point of the given parity.
func bridges(cells []Cell, parity int) int {
	n, p := 0, parity
	for _, c := range cells {
		p += int(c.Free)
		if p/2 != (p+int(c.Takes)-1)/2 {
			n++
		}
		p += int(c.Takes)
	}
	return n
}

// alignStart chooses the start that holds most neighbours together and then brings the ring's
// first unit nearest to where it stood; of two equally near ones, the default start.
func alignStart(r *Ring, g ground, wanted float64) {
	parity := 1
	if bridges(r.Cells, 0) > bridges(r.Cells, 1) {
		parity = 0
	}
	usual := g.Usual()
	if math.IsNaN(wanted) {
		r.Start = usual
		if usual%2 != parity {
			r.Start = g.Point(usual + 1)
		}
		return
	}
	best := math.Inf(1)
	for start := parity; start < g.Offered(); start += 2 {
		first := start + int(r.Cells[0].Free)
		from, _ := g.pointArc(first)
		_, to := g.pointArc(first + int(r.Cells[0].Takes) - 1)
		away := circular((from+to)/2, wanted)
		if away < best-1e-9 || (away < best+1e-9 && start == usual) {
			best, r.Start = min(best, away), start
		}
	}
}

// circular is the distance of two places around the circle, in turns, 0 … 0.5.
func circular(a, b float64) float64 {
	d := wrap(a - b)
	return min(d, 1-d)
}

// spread lets the units of a ring take all points of the ring below, as evenly as possible and
// mirror-symmetric about the front where that can be; it tells whether it could.
func spread(r *Ring, g ground, wanted, front float64) (mirrored bool) {
	offered, n := g.Offered(), len(r.Cells)
	r.FreeEnd = 0
	for i := range r.Cells {
		r.Cells[i].Free = 0
	}
	boundary := -1
	for p := range offered {
		if from, _ := g.pointArc(p); circular(from, front) < 1e-9 {
			boundary = p
		}
	}
	if boundary < 0 {
		setTakes(r.Cells, even(n, offered))
		alignStart(r, g, wanted)
		return false
	}
	takes, start := mirrorSpread(n, offered, boundary)
	// The sequence begins at the front; the seam is put at the unit nearest to where it stood.
	if math.IsNaN(wanted) {
		wanted = 0
	}
	best, seam, p, usual := math.Inf(1), 0, start, g.Usual()
	for k, t := range takes {
		from, _ := g.pointArc(p)
		_, to := g.pointArc(p + t - 1)
		at := g.Point(p)
		if away := circular((from+to)/2, wanted); away < best-1e-9 || (away < best+1e-9 && at == usual) {
			best, seam, r.Start = min(best, away), k, at
		}
		p += t
	}
	setTakes(r.Cells, append(slices.Clone(takes[seam:]), takes[:seam]...))
	return true
}

func setTakes(cells []Cell, takes []int) {
	for i, t := range takes {
		cells[i].Takes = uint8(t)
	}
}

// even splits a sum into n whole parts that differ by at most one, spread as evenly as possible.
func even(n, sum int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = (2*(i+1)*sum+n)/(2*n) - (2*i*sum+n)/(2*n)
	}
	return out
}

// mirrorSpread splits offered points among n units so that the split reads the same to both sides
// of the boundary between two points where the front line runs. It gives the takes to the right
// from the front, and the point the first of them starts at.
//
// Takes differ by at most one, and the units of the rarer kind, where the ring widens or narrows, stand as
// evenly as can be: the gaps between them, counted in units, differ by at most one. Of the ways to do so it
// chooses the one in which most units hold neighbours together. (There always is one. Points lie the same to both
// sides, so a unit on the line takes an even number, and a gap across the line is even where a unit lies on it
// and odd where none does. If n is odd the line has a unit at one end only, and the gaps across can be of either
// length that n divided by their number asks for. If n is even both ends are alike, and the front may lie on a
// unit or beside it, whichever the gaps fit.)
func mirrorSpread(n, offered, boundary int) (takes []int, start int) {
	best := -1
	for _, onUnit := range []bool{false, true} {
		t, ok := mirrored(n, offered, onUnit)
		if !ok {
			continue
		}
		from := boundary
		if onUnit {
			from -= t[0] / 2
		}
		cells := make([]Cell, n)
		setTakes(cells, t)
		if held := bridges(cells, from&1); held > best {
			best, takes, start = held, t, from
		}
	}
	if takes == nil {
		return even(n, offered), boundary
	}
	return takes, start
}

// mirrored is the even split that starts at the front line, with the first unit on the line or beside it. It
// is not ok when the gaps would differ by more than one.
func mirrored(n, offered int, onUnit bool) (takes []int, ok bool) {
	plain, rare := offered/n, offered/n+1
	m := offered % n // units of the rare kind
	if 2*m > n {
		plain, rare, m = rare, plain, n-m
	}
	takes = make([]int, n)
	for i := range takes {
		takes[i] = plain
	}
	places, ok := halfPlaces(n, m, onUnit, rare%2 == 0)
	for _, at := range places {
		takes[at] = rare
		if onUnit {
			takes[(n-at)%n] = rare
		} else {
			takes[n-1-at] = rare
		}
	}
	return takes, ok
}

// halfPlaces gives where the m rare ones of n units stand in the half to the right of the front, counted
// from the unit on the line or right of it. A unit on the line is a rare one if rareOnLine. It is not ok when the
// gaps would differ by more than one, and when a unit on the line would be rare in vain (m = 0).
func halfPlaces(n, m int, onUnit, rareOnLine bool) (places []int, ok bool) {
	backOnUnit := onUnit == (n%2 == 0)
	if m == 0 {
		return nil, !rareOnLine || !onUnit && !backOnUnit
	}
	gap := func(unit bool) int { // across the line: 0 where a rare unit stands on it
		if unit && rareOnLine {
			return 0
		}
		g := n / m
		if unit != (g%2 == 0) {
			g++
		}
		return g
	}
	front, back := gap(onUnit), gap(backOnUnit)
	pairs := m // gaps wholly in this half, each with its mirror image
	for _, across := range []int{front, back} {
		if across > 0 {
			pairs--
		}
	}
	pairs /= 2
	room := (n - front - back) / 2
	at := front / 2 // (front − 1)/2 beside the line is the same
	places = append(places, at)
	least, most := n, 0
	for _, g := range even(max(pairs, 1), room)[:pairs] {
		at += g
		places = append(places, at)
		least, most = min(least, g), max(most, g)
	}
	for _, across := range []int{front, back} {
		if across > 0 {
			least, most = min(least, across), max(most, across)
		}
	}
	return places, most-least <= 1 && (pairs > 0 || room == 0)
}
