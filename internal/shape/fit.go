package shape

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// FitLegs is how far from the room of its pocket a taken point may lie, in legs: so far real units push and lean
// without more ado (from memory).
const FitLegs = 0.25

// Misfit is a unit that does not reach all points that it takes: AwayMM is how far the worst of them lies from the
// pocket it is to go into.
type Misfit struct {
	Unit   int // from the seam, from 0
	AwayMM float64
}

// seat is the pockets of the units of a placement.
type seat struct {
	p       *Placement
	pockets [2]fold.Pocket
	tip     [2][3]float64
}

func (p *Placement) seats() *seat {
	left, right := fold.Pockets(p.Measures, p.Gauge.Pitch.Best/2, fold.PaperMM)
	return &seat{p: p, pockets: [2]fold.Pocket{left, right}, tip: [2][3]float64{left.Point, right.Point}}
}

// point is where in space the left (0) or right (1) point of a spot stands, as seen from outside.
func (s *seat) point(spot *Spot, which int) [3]float64 {
	if isShort(spot) {
		which = 1 - which
	}
	t := s.tip[which]
	return s.p.Corner(spot, t[0], t[1], t[2])
}

func isShort(s *Spot) bool { return math.Cos(s.Yaw-s.Azimuth) < 0 }

// away is how far a place in space is from the left (0) or right (1) pocket of a spot.
func (s *seat) away(spot *Spot, which int, at [3]float64) float64 {
	if isShort(spot) {
		which = 1 - which
	}
	if spot.In != Standing {
		at = s.p.Frames[spot.In].Back(at)
	}
	return s.pockets[which].Away(turning(spot.Yaw, spot.Tilt).back(at[0]-spot.X, at[1]-spot.Y, at[2]-spot.Z))
}

// back undoes apply.
func (r rotation) back(x, y, z float64) [3]float64 {
	x, z = x*r.cosYaw-z*r.sinYaw, z*r.cosYaw+x*r.sinYaw
	return [3]float64{x, y*r.cosTilt + z*r.sinTilt, z*r.cosTilt - y*r.sinTilt}
}

// Misfits gives the units of a ring, counted from 0, that have a point more than FitLegs of a leg from its pocket.
func (p *Placement) Misfits(f *figure.Figure, ring int) []Misfit {
	var out []Misfit
	for k, away := range p.Away(f, ring) {
		if away > FitLegs*p.Measures.LegMM {
			out = append(out, Misfit{k, away})
		}
	}
	return out
}

// crowdedBelow is the part of a pitch from the next unit below which a unit has no room: a ring is pressed together to pressedTo of
// its pitch where counts jump, and where units push each other, to as much of that again; a little is left to rounding.
const crowdedBelow = pressedTo*pressedTo - 0.02

// Crowded gives the units of a ring, counted from 0, that stand closer to the next than paper can be pressed, and how close
// the closest does, in mm along the ring. It happens where the narrow ring over a large opening is held wide apart from its
// own size by its neighbours. The placement must be of Place.
func (p *Placement) Crowded(f *figure.Figure, ring int) (units []int, closest float64) {
	r := p.Rings[ring]
	closest = math.Inf(1)
	count := r.Count
	if r.line {
		count-- // the last has no next
	}
	for k := range count {
		here, next := &p.Spots[r.First+k], &p.Spots[r.First+(k+1)%r.Count]
		turn := (next.Azimuth - here.Azimuth) / (2 * math.Pi)
		apart := (turn - math.Floor(turn)) * 2 * math.Pi * r.RadiusMM
		if r.own != nil { // drawn together: as the units stand
			apart = math.Sqrt(square(next.X-here.X) + square(next.Y-here.Y) + square(next.Z-here.Z))
		}
		if r.Count > 1 && apart < crowdedBelow*p.Gauge.Pitch.Best {
			units, closest = append(units, k), math.Min(closest, apart)
		}
	}
	return units, closest
}

// Away tells of every unit of a ring, counted from 0, how far the worst of the points it takes lies from the pocket it is
// to go into, in mm; 0 inside. Of two points one goes into either pocket, of three the middle one where it fits better,
// of four two into either. It is empty for ring 1. The placement must be of Place.
func (p *Placement) Away(f *figure.Figure, ring int) []float64 {
	foot := f.Footing(ring)
	if foot.OnTable() {
		return nil
	}
	s, below, r := p.seats(), p.Rings[foot.Ring()], &f.Rings[ring]
	out := make([]float64, len(r.Cells))
	for k, first := range foot.Seats(r) {
		spot, takes := &p.Spots[p.Rings[ring].First+k], int(r.Cells[k].Takes)
		for i := range takes {
			unit, side, _ := foot.Owner(first + i)
			place := s.point(&p.Spots[below.First+unit], side)
			out[k] = math.Max(out[k], s.nearest(spot, i, takes, place))
		}
	}
	return out
}

func (s *seat) nearest(spot *Spot, i, n int, at [3]float64) float64 {
	switch {
	case 2*i+1 < n:
		return s.away(spot, 0, at)
	case 2*i+1 > n:
		return s.away(spot, 1, at)
	}
	return math.Min(s.away(spot, 0, at), s.away(spot, 1, at))
}
