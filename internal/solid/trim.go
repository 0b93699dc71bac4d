package solid

import (
	"math"
	"slices"
)

// What stands out of an outline (own choice): farther than so many times what most of it reaches, and less wide than so much of
// what most of it measures across.
const (
	standsOut = 1.45
	narrow    = 0.5
)

// usual is what an outline reaches in most directions: in half of them it reaches less. It is 0 where it is seen in too few.
func (p *profile) usual() float64 {
	reaches := make([]float64, 0, directions)
	for _, r := range p {
		if r > 0 {
			reaches = append(reaches, r)
		}
	}
	if len(reaches) < directions/2 {
		return 0
	}
	slices.Sort(reaches)
	return reaches[len(reaches)/2]
}

// trim takes what stands out of an outline away from its measures, and gives it as bits of limbs.
func (o *loop) trim(slice int) []bit {
	if usual := o.profile.usual(); usual == 0 || slices.Max(o.profile[:]) <= standsOut*usual {
		return nil
	}
	core := o.core()
	var about profile
	about.add(core, o.profile.lines(o.middle))
	usual := about.usual()
	var bits []bit
	kept := about
	for _, s := range about.stands(standsOut * usual) {
		width := float64(s.n) * 2 * math.Pi / directions * standsOut * usual
		if width > narrow*2*usual {
			continue
		}
		dx, dz := bearing((s.first + s.n/2) % directions)
		bits = append(bits, bit{slice, point{core.x + dx*s.far, core.z + dz*s.far}, width, true, nil})
		about.bridge(&kept, s, usual)
	}
	if len(bits) == 0 {
		return nil
	}
	var points []point
	for _, l := range kept.lines(core) {
		points = append(points, l.a, l.b)
	}
	hull := hullOf(points)
	if len(hull) < 3 {
		return nil
	}
	*o = loop{hull: hull}
	o.measure()
	o.profile.add(o.middle, kept.lines(core))
	return bits
}

// core is the middle of about the largest circle within the outline: what stands out does not move it.
func (o *loop) core() point {
	lines := o.profile.lines(o.middle)
	low, high := o.hull[0], o.hull[0]
	for _, p := range o.hull {
		low.x, low.z = math.Min(low.x, p.x), math.Min(low.z, p.z)
		high.x, high.z = math.Max(high.x, p.x), math.Max(high.z, p.z)
	}
	best, room := o.middle, clear(lines, o.middle)
	const steps, times = 8, 4
	across, deep := (high.x-low.x)/2, (high.z-low.z)/2
	at := point{(low.x + high.x) / 2, (low.z + high.z) / 2}
	for range times {
		for i := -steps; i <= steps; i++ {
			for j := -steps; j <= steps; j++ {
				p := point{at.x + across*float64(i)/steps, at.z + deep*float64(j)/steps}
				if r := clear(lines, p); r > room {
					best, room = p, r
				}
			}
		}
		at, across, deep = best, across/4, deep/4
	}
	return best
}

// clear is how far a place inside is from the nearest line, and −1 outside.
func clear(lines []crossing, p point) float64 {
	inside, least := false, math.Inf(1)
	for _, l := range lines {
		if (l.a.z > p.z) != (l.b.z > p.z) && p.x < l.a.x+(p.z-l.a.z)/(l.b.z-l.a.z)*(l.b.x-l.a.x) {
			inside = !inside
		}
		least = math.Min(least, math.Hypot(l.a.x-p.x, l.a.z-p.z))
	}
	if !inside {
		return -1
	}
	return least
}

// stand is neighbouring directions in which an outline stands out, and how far it does.
type stand struct {
	first, n int
	far      float64
}

// stands are those in which a profile reaches farther than so far.
func (p *profile) stands(far float64) []stand {
	first := slices.IndexFunc(p[:], func(r float64) bool { return r <= far })
	if first < 0 {
		return nil
	}
	var out []stand
	for k := 0; k < directions; k++ {
		s := stand{first: (first + k) % directions}
		for ; p[(s.first+s.n)%directions] > far; s.n++ {
			s.far = math.Max(s.far, p[(s.first+s.n)%directions])
		}
		if s.n > 0 {
			out = append(out, s)
			k += s.n
		}
	}
	return out
}

// bridge lets the body go on between where something stands out and where it begins to, on both sides.
func (p *profile) bridge(kept *profile, s stand, usual float64) {
	const most, enough = directions / 6, 1.03
	at := func(k int) int { return (k + 2*directions) % directions }
	foot := func(k, step int) int {
		for i := 0; i < most && p[at(k)] > enough*usual && p[at(k+step)] > 0 && p[at(k+step)] <= p[at(k)]; i++ {
			k += step
		}
		return k
	}
	from, to := foot(s.first-1, -1), foot(s.first+s.n, 1)
	a, b := p[at(from)], p[at(to)]
	for k := from + 1; k < to; k++ {
		kept[at(k)] = math.Min(p[at(k)], a+(b-a)*float64(k-from)/float64(to-from))
	}
}
