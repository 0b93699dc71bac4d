package figure

import (
	"math"
	"slices"

	"tuckring/internal/words"
)

// carryExtras renumbers the extras for the new stack; an extra keeps its ring, and its place by
// angle when the ring's count changes. A ring that carries an extra cannot go.
func (f *Figure) carryExtras(s *stack, old *Unrolled, fresh [][]arc) ([]Extra, error) {
	extras := slices.Clone(f.Extras)
	to := map[RingID]int{}
	for i := range s.rings {
		to[s.rings[i].ID] = i
	}
	for i := range extras {
		x := &extras[i]
		was := &f.Rings[x.RingIndex()]
		n, ok := to[was.ID]
		if !ok {
			return nil, Faults{{Ring: x.Ring, Where: "extras", What: words.T("figure.extra_holds_ring", "Ring", f.RowName(x.RingIndex()), "Name", x.Name), Fix: words.T("figure.extra_holds_ring.fix")}}
		}
		if len(was.Cells) != len(s.rings[n].Cells) {
			if turn := placeTurn(old.arcs[x.RingIndex()], x.At); s.open(n) {
				x.At = placeInLine(fresh[n], turn)
			} else {
				x.At = placeAside(fresh[n], s.frontTurn(n), fromFront(turn-old.fronts[f.PartOf(x.RingIndex())]))
			}
		}
		x.Ring = n + 1
	}
	return extras, nil
}

// placeTurn is where a place of a ring stands, in turns; halves lie midway between two units.
func placeTurn(arcs []arc, at float64) float64 {
	middle := func(k int) float64 {
		a := arcs[k%len(arcs)]
		return (a.from+a.to)/2 + float64(k/len(arcs))
	}
	k := int(at)
	if at == float64(k) {
		return middle(k)
	}
	return (middle(k) + middle(k+1)) / 2
}

// fromFront is a turn as the short way from the front: −0.5 … 0.5.
func fromFront(turn float64) float64 { return turn - math.Round(turn) }

// placeAside is the place of a ring that stands most nearly so far from the front; of two equally near ones the one
// farther from it, so that what stands alike to both sides does so still.
func placeAside(arcs []arc, front, off float64) float64 {
	best, least, far := 0.0, math.Inf(1), 0.0
	for k := range 2 * len(arcs) {
		at := float64(k) / 2
		there := fromFront(placeTurn(arcs, at) - front)
		miss := math.Abs(fromFront(there - off))
		if miss < least-1e-9 || (miss < least+1e-9 && math.Abs(there) > far) {
			best, least, far = at, math.Min(miss, least), math.Abs(there)
		}
	}
	return best
}

// placeInLine is the place of an open row that stands nearest to where another did, in the circle that both stand in; of two
// equally near ones the left one.
func placeInLine(arcs []arc, turn float64) float64 {
	best, least := 0.0, math.Inf(1)
	for k := range 2*len(arcs) - 1 {
		at := float64(k) / 2
		if miss := math.Abs(fromFront(placeTurn(arcs, at) - turn)); miss < least-1e-9 {
			best, least = at, miss
		}
	}
	return best
}

// carryPlace keeps a place by angle when a ring's count changes, to the nearest half unit.
func carryPlace(at float64, from, to int) float64 {
	if from == to {
		return at
	}
	return min(math.Round(2*at*float64(to)/float64(from))/2, float64(to)-0.5)
}

// carryParts keeps the front of a part, and the place where it is set on, by angle where the count of the row changes
// that they are counted on. It gives what they were.
func (f *Figure) carryParts(s *stack) (was []PartPlace) {
	for i := range s.parts {
		part := &s.parts[i]
		k, ok := f.PartIndex(part.ID)
		if !ok || part.Twin != 0 {
			continue
		}
		old := &f.Parts[k]
		place := PartPlace{Part: part.ID}
		if from, to := len(f.Rings[old.First].Cells), len(s.rings[part.First].Cells); (from != to || part.Front != old.Front) && !part.Open && i > 0 {
			front := old.Front
			if place.Front = &front; !s.exact && from != to {
				part.Front = carryPlace(front, from, to)
			}
		}
		if part.Set != nil && !part.Set.Centred && part.Set.On == old.Set.On {
			before, _ := f.RingIndex(part.Set.On)
			now, _ := s.indexOf(part.Set.On)
			if from, to := len(f.Rings[before].Cells), len(s.rings[now].Cells); from != to || part.Set.At != old.Set.At {
				at := old.Set.At
				if place.At = &at; !s.exact && from != to {
					part.Set.At = min(carryPlace(at, from, to), s.lastPlace(now))
				}
			}
		}
		if place != (PartPlace{Part: part.ID}) {
			was = append(was, place)
		}
	}
	return was
}

// lastPlace is the last place of a row: after the last unit of a ring, the middle of the last unit of an open row.
func (p pile) lastPlace(row int) float64 {
	last := float64(len(p.rings[row].Cells) - 1)
	if p.open(row) {
		return last
	}
	return last + 0.5
}

// PartPlace puts the front of a part back, and the place where it is set on.
type PartPlace struct {
	Part  PartID   `json:"part"`
	Front *float64 `json:"front,omitempty"`
	At    *float64 `json:"at,omitempty"`
}

// ExtraPlace puts an extra back to its place in its ring.
type ExtraPlace struct {
	Key ExtraID `json:"key"`
	At  float64 `json:"at"`
}
