package shape

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// The measure: a taken point lies within a quarter of a leg of its pocket.
const quarterLeg = 0.25

func worstAway(p *Placement, f *figure.Figure) (legs float64, ring int) {
	for i := range f.Rings {
		for _, away := range p.Away(f, i) {
			if away/p.Measures.LegMM > legs {
				legs, ring = away/p.Measures.LegMM, i+1
			}
		}
	}
	return legs, ring
}

func TestUnitsOfTheDemoFiguresStandOnThePointsTheyTake(t *testing.T) {
	for name, f := range demos(t) {
		legs, ring := worstAway(Place(f, FromMemory(f.Unit)), f)
		assert.LessOrEqual(t, legs, quarterLeg, "%s, ring %d", name, ring)
	}
}

// By hand (leg 18.5 mm, common practice): a plain unit stands over a gap, half a pitch of 10.73 mm wide, so its taken
// points stand 2.7 mm to either side of its middle and a rise of 8.88 mm below: between its half base and hypotenuse,
// in the pockets of an upright wall; so they do in every tube.
func TestUnitsOfTubesStandOnThePointsTheyTake(t *testing.T) {
	for _, units := range []int{3, 4, 5, 6, 12, 60, 1000} {
		f := tube(units, 6)
		for i := range f.Rings[3].Cells {
			f.Rings[3].Cells[i].Side = figure.Short
		}
		legs, ring := worstAway(Place(f, FromMemory(a9)), f)
		assert.LessOrEqual(t, legs, quarterLeg, "%d units, ring %d", units, ring)
	}
}

// A tube whose rings widen and narrow by up to a quarter each, as a maker would do it with the app's own edits.
func ordinary(r *rand.Rand, most int) *figure.Figure {
	n := 8 + r.IntN(most-7)
	f := figure.Tube("Tube", a9, []figure.Colour{{ID: "sand", Name: "Sand", Hex: "#d9c59a"}}, n, 4+r.IntN(16))
	for i := 1; i < len(f.Rings); i++ {
		if r.IntN(2) == 0 {
			step := n / 4
			n = max(6, min(most, n+r.IntN(2*step+1)-step))
		}
		var ids []figure.RingID
		for k := i; k < len(f.Rings); k++ {
			ids = append(ids, f.Rings[k].ID)
		}
		if n != len(f.Rings[i].Cells) {
			must(f, &figure.SetCount{Rings: ids, Units: n})
		}
		if r.IntN(12) == 0 {
			for k := range f.Rings[i].Cells {
				f.Rings[i].Cells[k].Side = figure.Short
			}
		}
	}
	return f
}

func must(f *figure.Figure, e figure.Edit) {
	if _, _, err := figure.Apply(f, e); err != nil {
		panic(err)
	}
}

func TestOrdinaryWideningAndNarrowingFits(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	for i := range 600 {
		f := ordinary(r, []int{20, 40, 80}[i%3])
		legs, ring := worstAway(Place(f, FromMemory(a9)), f)
		require.LessOrEqual(t, legs, quarterLeg, "figure %d, ring %d of %v", i, ring, counts(f))
	}
}

func counts(f *figure.Figure) (out []int) {
	for i := range f.Rings {
		out = append(out, len(f.Rings[i].Cells))
	}
	return out
}

// Points left free, units that take four, openings: where a unit does not reach its points even so, it is named, and
// every other one reaches them.
func TestUnitsStandOnTheirPointsOrAreNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 4))
	named, units := 0, 0
	for range 400 {
		f := ordinary(r, 40)
		for range 1 + r.IntN(4) {
			i := 1 + r.IntN(len(f.Rings)-1)
			id, n := f.Rings[i].ID, len(f.Rings[i].Cells)
			var e figure.Edit
			switch r.IntN(3) {
			case 0:
				e = &figure.LeaveFree{Ring: id, Unit: r.IntN(n), Points: 1 + r.IntN(4)}
			case 1:
				e = &figure.Take{Ring: id, Unit: r.IntN(n), Takes: 1 + r.IntN(4)}
			default:
				e = &figure.LeaveOut{Ring: id, At: r.IntN(n - 1), N: 1}
			}
			_, _, _ = figure.Apply(f, e) // refused where nobody can make up for it
		}
		require.Empty(t, f.Validate())
		p := Place(f, FromMemory(a9))
		for i := range f.Rings {
			bad := map[int]bool{}
			for _, m := range p.Misfits(f, i) {
				bad[m.Unit] = true
				named++
			}
			for k, away := range p.Away(f, i) {
				units++
				require.Equal(t, away > quarterLeg*p.Measures.LegMM, bad[k], "ring %d, unit %d", i+1, k+1)
			}
		}
	}
	assert.Less(t, float64(named), 0.002*float64(units), "few units need the maker's care")
	assert.Positive(t, named)
}

// A ring of 100 on one of 200 can't be a fifth as wide at once: neighbours give way, none is pressed below 0.8 of its
// pitch (from memory), and no unit is a leg away from the points it takes, seen along the wall.
func TestRingsGiveWayWhereTheCountJumps(t *testing.T) {
	f := tube(200, 8)
	for i := 4; i < 8; i++ {
		must(f, &figure.SetCount{Rings: []figure.RingID{f.Rings[i].ID}, Units: 100})
	}
	p := Place(f, FromMemory(a9))
	for i := range p.Rings {
		own := float64(len(f.Rings[i].Cells)) * 10.73 / (2 * math.Pi)
		assert.GreaterOrEqual(t, p.Rings[i].RadiusMM, 0.799*own, "ring %d", i+1)
		if i > 0 {
			assert.LessOrEqual(t, math.Hypot(p.Rings[i].RadiusMM-p.Rings[i-1].RadiusMM, 8.88), 18.5, fmt.Sprintf("ring %d", i+1))
		}
	}
	plain := Place(tube(200, 8), FromMemory(a9))
	assert.InDelta(t, 200*10.73/(2*math.Pi), plain.Rings[5].RadiusMM, 0.01, "a tube keeps its own radius")
}

// Paper pushes back: where a count changes, units stand closer and wider, and over some plain rings they even out (common
// practice: a plain tube looks even). By hand: the units' play is 0.28 of their room in either direction, so a tube evens out
// within four rings whatever the ring below it left.
func TestPlainRingsEvenOut(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to int // rings, from 1, that stand evenly
		off      float64
	}{{"lighthouse", 14, 19, 0.03}, {"lighthouse", 22, 26, 0.03}, {"lighthouse", 7, 11, 0.03}, {"honey-jar", 8, 10, 0.03}} {
		f := demos(t)[c.name+".tuckring.json"]
		u := figure.Unroll(f)
		for ring := c.from - 1; ring < c.to; ring++ {
			n := len(f.Rings[ring].Cells)
			for k := range n {
				from, to := u.Arc(ring, k)
				require.InDelta(t, 1, (to-from)*float64(n), c.off, "%s, ring %d, unit %d", c.name, ring+1, k+1)
			}
		}
	}
}
