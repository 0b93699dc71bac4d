package shape

import (
	"cmp"
	"math"
	"slices"

	"tuckring/internal/figure"
)

// room is where a loose row can be at all: within so many mm of a place in space, and no higher or lower than that by so many.
type room struct {
	row       int
	middle    [3]float64
	reach, up float64
}

// roomOf bounds where the units of a loose row are.
func (p *Placement) roomOf(f *figure.Figure, u *figure.Unrolled, row int, reach float64) room {
	r := &p.Rings[row]
	if r.line {
		from, to := u.Span(row)
		s := spotAt(r, r.azimuth((from+to)/2))
		long := (to - from) * r.perTurn * r.RadiusMM / 2
		return room{row, p.Middle(&s), long + reach, long*p.slant(r.In) + reach}
	}
	out := room{row, p.inSpace(r.In, [3]float64{0, r.Y, 0}), r.RadiusMM + reach, r.RadiusMM*p.slant(r.In) + reach}
	if r.own == nil {
		return out
	}
	for k := range r.own { // drawn together, or on the way to a circle
		s := &r.own[k]
		out.reach = math.Max(out.reach, math.Sqrt(square(s.X)+square(s.Y-r.Y)+square(s.Z))+reach)
		out.up = out.reach
	}
	return out
}

// slant is how far a frame lets what lies level in it rise, at most, for each mm: 0 in an upright one.
func (p *Placement) slant(frame int32) float64 {
	up := &p.Frames[frame].Turn[1]
	return math.Hypot(up[0], up[2])
}

// samples is how many units of a loose row tell how high and how wide it is by itself.
const samples = 16

// measureLoose measures the rows that do not simply stand around the axis. How high and wide each is by itself a few of its
// units tell, from end to end; for the figure as a whole all units of every row are measured that may be higher, or farther out,
// than what is known already, those that reach farthest first.
func (p *Placement) measureLoose(f *figure.Figure, u *figure.Unrolled, b body, all *shadow, out *outside) {
	reach := b.radius()
	var rooms []room
	for i := range p.Rings {
		if !p.Rings[i].Loose() {
			continue
		}
		rooms = append(rooms, p.roomOf(f, u, i, reach))
		n := len(f.Rings[i].Cells)
		if r := &p.Rings[i]; !r.line && r.own == nil {
			ring := p.ringReach(b, f.Rings[i].Cells, i)
			out.across[i] = ring.across(f.Rings[i].Cells, u, i)
			if p.slant(r.In) < 1e-9 {
				out.top[i] = p.inSpace(r.In, [3]float64{0, ring.top, 0})[1]
				out.height = math.Max(out.height, out.top[i])
				last := &rooms[len(rooms)-1]
				last.up = out.top[i] - last.middle[1] // all of its units are as high
				continue
			}
		}
		own := &shadow{}
		for k := range min(n, samples) {
			s := p.unitAt(f, u, i, k*(n-1)/max(1, min(n, samples)-1))
			out.top[i] = math.Max(out.top[i], p.addSpot(b, own, &s))
		}
		if out.across[i] == 0 {
			out.across[i] = own.width()
		}
	}
	far := func(r *room) float64 { return math.Hypot(r.middle[0], r.middle[2]) + r.reach }
	slices.SortStableFunc(rooms, func(a, b room) int { return cmp.Compare(far(&b), far(&a)) })
	known := out.diameter
	for k := range rooms {
		r := &rooms[k]
		if k%samples == 0 {
			known = math.Max(known, all.width())
		}
		most := math.Max(out.radius, all.most)
		if far(r) <= most && far(r)+most <= known && r.middle[1]+r.up <= out.height {
			continue
		}
		within := math.Sqrt(all.within)
		for s := range p.eachUnit(f, u, r.row) {
			at := p.Middle(&s)
			if math.Hypot(at[0], at[2])+reach <= within && at[1]+reach <= out.height {
				continue
			}
			top := p.addSpot(b, all, &s)
			out.top[r.row], out.height = math.Max(out.top[r.row], top), math.Max(out.height, top)
		}
	}
}
