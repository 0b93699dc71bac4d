package solid

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"

	"tuckring/internal/figure"
	"tuckring/internal/sight"
	"tuckring/internal/wall"
)

// looks is at how many places a unit's face is looked at, across and up, in a figure of so many units; all together they are
// never more than some hundred thousand.
func looks(units int) int {
	switch {
	case units <= 4000:
		return 6
	case units <= 20_000:
		return 4
	}
	return 2
}

// beyond is from how far out the solid is looked at, in pitches beyond the wall: what lies further out hides nothing.
const beyond = 1.5

// paint gives each unit of the standing part the paper that is nearest (CIEDE2000) to what the solid's surface shows where the
// unit's visible face is, on average as light; with Edges the paper that is nearest to most of it. A solid without colours stays
// in the first paper.
func (k *maker) paint() {
	if !k.mesh.Coloured {
		return
	}
	f := k.result.Figure
	papers := labsOf(f.Colours)
	give := func(ring, unit int, lights [][3]float64) {
		f.Rings[ring].Cells[unit].Colour = uint8(k.paperOf(papers, lights))
	}
	if k.own != nil {
		k.seeOwn(give)
	} else {
		k.see(f, give)
	}
}

// paperOf is the paper for what a face shows at several places.
func (k *maker) paperOf(papers []sight.Lab, lights [][3]float64) int {
	if !k.Edges {
		var mean [3]float64
		for _, l := range lights {
			for c := range mean {
				mean[c] += l[c] / float64(len(lights))
			}
		}
		return nearestPaper(papers, mean)
	}
	votes, best := make([]int, len(papers)), 0
	for _, l := range lights {
		p := nearestPaper(papers, l)
		if votes[p]++; votes[p] > votes[best] {
			best = p
		}
	}
	return best
}

func labsOf(papers []figure.Colour) []sight.Lab {
	out := make([]sight.Lab, len(papers))
	for i, c := range papers {
		out[i] = sight.LabOf(sight.Paper(c))
	}
	return out
}

func nearestPaper(papers []sight.Lab, light [3]float64) int {
	lab := sight.LabOf(colorful.LinearRgb(light[0], light[1], light[2]))
	best, least := 0, math.Inf(1)
	for i, p := range papers {
		if d := sight.Difference(lab, p); d < least {
			best, least = i, d
		}
	}
	return best
}

// see looks at the face of every unit of the standing part.
func (k *maker) see(f *figure.Figure, give func(ring, unit int, lights [][3]float64)) {
	u := figure.Unroll(f)
	n := looks(f.Units())
	var face []wall.Spot
	var lights [][3]float64
	wall.Each(f, u, 0, len(k.result.Rings), func(fc *wall.Face) {
		face = fc.Outline(face[:0])
		lights = k.faceLights(lights[:0], face, u.FrontTurn(), n)
		give(fc.Ring, fc.Unit, lights)
	})
}

// faceLights looks at so many times so many places of a face, as far as they lie in its outline.
func (k *maker) faceLights(to [][3]float64, face []wall.Spot, front float64, n int) [][3]float64 {
	low, high := face[0], face[0]
	for _, s := range face {
		low.Turn, low.Up = math.Min(low.Turn, s.Turn), math.Min(low.Up, s.Up)
		high.Turn, high.Up = math.Max(high.Turn, s.Turn), math.Max(high.Up, s.Up)
	}
	at := func(across, up float64) wall.Spot {
		return wall.Spot{Turn: low.Turn + (high.Turn-low.Turn)*across, Up: low.Up + (high.Up-low.Up)*up}
	}
	for i := range n {
		for j := range n {
			if s := at((float64(i)+0.5)/float64(n), (float64(j)+0.5)/float64(n)); inside(face, s) {
				to = append(to, k.lightAt(s, front))
			}
		}
	}
	if len(to) == 0 {
		to = append(to, k.lightAt(at(0.5, 0.5), front))
	}
	return to
}

// inside says whether a place lies within an outline (the rule of odd crossings).
func inside(face []wall.Spot, s wall.Spot) bool {
	in := false
	for i, b := range face {
		a := face[(i+len(face)-1)%len(face)]
		if (a.Up > s.Up) != (b.Up > s.Up) && s.Turn < a.Turn+(s.Up-a.Up)/(b.Up-a.Up)*(b.Turn-a.Turn) {
			in = !in
		}
	}
	return in
}

// lightAt is what the solid shows to somebody who looks level at the figure's axis through a place of the wall; where nothing
// is to be seen there, what is nearest.
func (k *maker) lightAt(s wall.Spot, front float64) [3]float64 {
	radius, y := k.wallAt(s.Up)
	sin, cos := math.Sincos((s.Turn - front) * 2 * math.Pi)
	from := radius + beyond*k.gauge.Pitch.Best
	at, ok := k.tree.hit([3]float64{from * sin, y, from * cos})
	if !ok {
		at = k.tree.nearest([3]float64{radius * sin, y, radius * cos})
	}
	return k.mesh.lightAt(at.triangle, at.share)
}

// wallAt is the wall's radius and height, in mm, so many rings up from the lowest point of ring 1's units.
func (k *maker) wallAt(up float64) (radius, y float64) {
	levels := k.placed.Rings[:len(k.result.Rings)]
	at := up - wall.TipRise
	i := int(math.Floor(at))
	y = math.Max(0, levels[0].Y+at*k.gauge.Rise.Best)
	switch last := len(levels) - 1; {
	case at <= 0:
		return levels[0].RadiusMM, y
	case i >= last:
		return levels[last].RadiusMM, y
	}
	return levels[i].RadiusMM + (at-float64(i))*(levels[i+1].RadiusMM-levels[i].RadiusMM), y
}

// seeOwn gives every unit the light of the unit of a model that Tuckring wrote which stood nearest.
func (k *maker) seeOwn(give func(ring, unit int, lights [][3]float64)) {
	near := newOwnBoxes(k.own.units, k.gauge.Pitch.Best)
	for i := range k.result.Rings {
		r := &k.placed.Rings[i]
		for u := range r.Count {
			l := near.nearest(k.placed.Middle(&k.placed.Spots[r.First+u])).light
			give(i, u, [][3]float64{{float64(l[0]), float64(l[1]), float64(l[2])}})
		}
	}
}

// mostMeasured is at how many units of a ring its distance from the solid is measured.
const mostMeasured = 48

// measure finds how far the wall of each ring is off the solid's surface, where its points are.
func (k *maker) measure() {
	sum, units := 0.0, 0
	for i := range k.result.Rings {
		r, spot := &k.result.Rings[i], &k.placed.Rings[i]
		n := min(spot.Count, mostMeasured)
		for j := range n {
			p := k.placed.Middle(&k.placed.Spots[spot.First+j*spot.Count/n])
			r.DistanceMM += k.away(p) / float64(n)
		}
		sum, units = sum+r.DistanceMM*float64(r.Units), units+r.Units
	}
	k.result.MeanDistanceMM = sum / float64(units)
}

// away is how far a place of the wall is off the solid, in mm; of a model that Tuckring wrote, off its wall.
func (k *maker) away(p [3]float64) float64 {
	if k.own != nil {
		return math.Abs(k.own.radius(p[1]) - math.Hypot(p[0], p[2]))
	}
	return k.tree.nearest(p).away
}
