package fold

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
)

// papers are sheets of every kind: the usual ones, both bounds of comfort, tucked once and twice.
var papers = map[string]figure.Unit{
	"A9 doubled":       a9Doubled,
	"half A9 single":   halfA9Single,
	"1:2 doubled":      {LongMM: 100, ShortMM: 50, Fold: figure.Doubled},
	"tucked, single":   tuckedSingle,
	"tucked, doubled":  {LongMM: 85, ShortMM: 34, Fold: figure.Doubled},
	"tucked twice":     {LongMM: 80, ShortMM: 10, Fold: figure.Single},
	"hardly any flap":  {LongMM: 41, ShortMM: 40, Fold: figure.Doubled},
	"tucked 2, double": {LongMM: 80, ShortMM: 20, Fold: figure.Doubled},
}

func patternOf(t require.TestingT, u figure.Unit) *Pattern {
	p, err := NewPattern(u)
	require.NoError(t, err)
	return p
}

func distance(a, b Pt) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// A flat folding moves every facet rigidly: all distances within it stay (reflections keep lengths).
func TestEveryFacetIsCongruentToItsFacetOnTheSheet(t *testing.T) {
	for name, u := range papers {
		p := patternOf(t, u)
		for _, f := range p.Facets {
			require.Len(t, f.Stages, len(p.Steps)+1, name)
			for k := range f.Stages {
				at := f.At(k)
				for i := range at {
					for j := range i {
						assert.InDelta(t, distance(f.Sheet[i], f.Sheet[j]), distance(at[i], at[j]), 1e-6, "%s, step %d", name, k)
					}
				}
			}
		}
	}
}

func TestFacetsTileTheSheet(t *testing.T) {
	for name, u := range papers {
		sum := 0.0
		for _, f := range patternOf(t, u).Facets {
			a := area(f.Sheet)
			assert.Positive(t, a, "%s: outlines run counterclockwise", name)
			sum += a
		}
		assert.InDelta(t, u.LongMM*u.ShortMM, sum, 1e-6, name)
	}
}

// The paper never tears: neighbours agree about where their common edge lies, after every step.
func TestNeighboursStayJoined(t *testing.T) {
	for name, u := range papers {
		p := patternOf(t, u)
		joined := 0
		for i, f := range p.Facets {
			for _, g := range p.Facets[:i] {
				shared, ok := sharedEdge(f, g)
				if !ok {
					continue
				}
				joined++
				for k := range f.Stages {
					for _, c := range []Pt{shared.A, shared.B} {
						a, b := f.Stages[k].Motion.Apply(c), g.Stages[k].Motion.Apply(c)
						assert.InDelta(t, 0, distance(a, b), 1e-6, "%s, step %d", name, k)
					}
				}
			}
		}
		assert.Equal(t, len(p.Creases), joined, "%s: every common edge is a crease", name)
	}
}

func sharedEdge(f, g Facet) (Segment, bool) {
	for i, a := range f.Sheet {
		for j, c := range g.Sheet {
			if s, ok := overlap(a, f.Sheet[(i+1)%len(f.Sheet)], c, g.Sheet[(j+1)%len(g.Sheet)]); ok {
				return s, true
			}
		}
	}
	return Segment{}, false
}

type spoke struct {
	angle     float64
	direction Direction
}

// innerVertices collects the creases that meet at each vertex inside the sheet.
func innerVertices(p *Pattern) map[string][]spoke {
	u := p.Measures.Unit
	inside := func(q Pt) bool {
		return math.Abs(q.X) < u.LongMM/2-1e-6 && q.Y > 1e-6 && q.Y < u.ShortMM-1e-6
	}
	key := func(q Pt) string { return fmt.Sprintf("%.4f,%.4f", q.X+0.00001, q.Y+0.00001) }
	out := map[string][]spoke{}
	for _, c := range p.Creases {
		for _, e := range [][2]Pt{{c.A, c.B}, {c.B, c.A}} {
			if inside(e[0]) {
				angle := math.Atan2(e[1].Y-e[0].Y, e[1].X-e[0].X)
				out[key(e[0])] = append(out[key(e[0])], spoke{angle, c.Direction})
			}
		}
	}
	return out
}

// Kawasaki's theorem: around an inner vertex of a flat folding every second angle sums to 180°.
// Source: Hull, Project Origami (from memory).
func TestKawasakiHoldsAtEveryInnerVertex(t *testing.T) {
	for name, u := range papers {
		for at, spokes := range innerVertices(patternOf(t, u)) {
			sort.Slice(spokes, func(i, j int) bool { return spokes[i].angle < spokes[j].angle })
			require.Zero(t, len(spokes)%2, "%s at %s: creases in pairs", name, at)
			sum := 0.0
			for i := 0; i < len(spokes); i += 2 {
				sum += spokes[i+1].angle - spokes[i].angle
			}
			assert.InDelta(t, math.Pi, sum, 1e-6, "%s at %s", name, at)
		}
	}
}

// Maekawa's theorem: mountains and valleys at an inner vertex differ by two.
// Source: Hull, Project Origami (from memory).
func TestMaekawaHoldsAtEveryInnerVertex(t *testing.T) {
	for name, u := range papers {
		for at, spokes := range innerVertices(patternOf(t, u)) {
			difference := 0
			for _, s := range spokes {
				if s.direction == Valley {
					difference++
				} else {
					difference--
				}
			}
			assert.Contains(t, []int{-2, 2}, difference, "%s at %s", name, at)
		}
	}
}

// By drawing: the single strip has all its vertices on its edges; the doubled sheet has three inside,
// all on the doubling fold: its middle, where eight creases meet, and the two ends of the base line.
func TestInnerVerticesOfTheTwoFolds(t *testing.T) {
	assert.Empty(t, innerVertices(patternOf(t, halfA9Single)))
	got := map[string]int{}
	for at, spokes := range innerVertices(patternOf(t, a9Doubled)) {
		got[at] = len(spokes)
	}
	assert.Equal(t, map[string]int{"0.0000,18.5000": 8, "18.5000,18.5000": 4, "-18.5000,18.5000": 4}, got)
	assert.NotEmpty(t, innerVertices(patternOf(t, tuckedSingle)), "the tuck crosses the corner's crease")
}

// The finished unit is a right-angled isosceles triangle with legs of 18.5 mm.
func TestFinishedUnitIsTheTriangle(t *testing.T) {
	for _, u := range []figure.Unit{a9Doubled, halfA9Single} {
		p := patternOf(t, u)
		corners := map[string]bool{}
		for _, f := range p.Facets {
			for _, q := range f.At(len(p.Steps)) {
				assert.LessOrEqual(t, q.X, 1e-6)
				assert.GreaterOrEqual(t, q.Y, -1e-6)
				assert.LessOrEqual(t, q.Y-q.X, 18.5+1e-6)
				corners[fmt.Sprintf("%.1f,%.1f", math.Abs(q.X), math.Abs(q.Y))] = true
			}
		}
		for _, c := range []string{"0.0,0.0", "18.5,0.0", "0.0,18.5"} {
			assert.True(t, corners[c], c)
		}
	}
}

// The pockets open along the spine on the outside: from outside in, each leaf of the finished unit is
// the layer folded over, the unmoved triangle, then the flap with its corner tucked under it.
func TestFlapsLieInsideAndPocketMouthsOutside(t *testing.T) {
	p := patternOf(t, halfA9Single)
	kind := func(f Facet) string {
		c := middle(f.Sheet)
		x := math.Abs(c.X)
		switch {
		case x+c.Y < 18.5: // below the 45° lines on the sheet
			return "unmoved"
		case x < 18.5:
			return "folded over"
		case x-18.5 < c.Y: // above the corner's crease, which rises at 45° from the base line's foot
			return "flap"
		}
		return "corner"
	}
	byLayer := make([]string, len(p.Facets))
	for _, f := range p.Facets {
		byLayer[f.Stages[len(p.Steps)].Layer] = kind(f)
	}
	assert.Equal(t, []string{"folded over", "unmoved", "corner", "flap", "flap", "corner", "unmoved", "folded over"}, byLayer)
}

// Layers of the leaf counted in the folded paper at three places of a leaf.
func TestLeafLayersAreThoseOfTheFoldedPaper(t *testing.T) {
	for name, want := range map[string][3]int{"half A9 single": {2, 3, 4}, "A9 doubled": {4, 6, 8}, "tucked, single": {2, 4, 6}} {
		p := patternOf(t, papers[name])
		plain, flap, corner := Of(papers[name]).LeafLayers()
		assert.Equal(t, want, [3]int{plain, flap, corner}, name)
		h := p.Measures.LegMM
		assert.Equal(t, 2*want[0], layersAt(p, Pt{-0.02 * h, 0.95 * h}), "%s: both leaves near the apex", name)
		assert.Equal(t, 2*want[1], layersAt(p, Pt{-0.05 * h, 0.02 * h}), "%s: at the foot of the spine", name)
		assert.Equal(t, 2*want[2], layersAt(p, Pt{-0.95 * h, 0.02 * h}), "%s: at the point", name)
	}
}

func layersAt(p *Pattern, q Pt) int {
	n := 0
	for _, f := range p.Facets {
		at, inside := f.At(len(p.Steps)), true
		turn := math.Copysign(1, area(at))
		for i, a := range at {
			b := at[(i+1)%len(at)]
			inside = inside && turn*((b.X-a.X)*(q.Y-a.Y)-(b.Y-a.Y)*(q.X-a.X)) > 0
		}
		if inside {
			n++
		}
	}
	return n
}

func TestStepsInTheOrderOfTheCraft(t *testing.T) {
	names := func(u figure.Unit) (out []string) {
		for i, s := range patternOf(t, u).Steps {
			assert.Equal(t, i+1, s.Number)
			assert.NotContains(t, s.Text.String(), "[", "the sentence exists")
			assert.NotEmpty(t, s.Before)
			assert.NotEmpty(t, s.After)
			out = append(out, s.Name)
		}
		return out
	}
	assert.Equal(t, []string{"double", "mark", "ends", "turn", "corners", "flaps", "half"}, names(a9Doubled))
	assert.Equal(t, []string{"mark", "ends", "turn", "corners", "flaps", "half"}, names(halfA9Single))
	assert.Equal(t, []string{"mark", "ends", "turn", "tuck", "corners", "flaps", "half"}, names(tuckedSingle))
}

// What an arrow of a diagram says is what the paper does: the place it leaves comes to lie where it points.
func TestArrowsTellWhereThePaperGoes(t *testing.T) {
	for name, u := range papers {
		p := patternOf(t, u)
		turned := false
		for k, st := range p.Steps {
			assert.Equal(t, st.Name == "turn", len(st.Moves) == 0, "%s, %s", name, st.Name)
			for _, m := range st.Moves {
				from, to := m.From, m.To
				if turned {
					from.X, to.X = -from.X, -to.X
				}
				if m.Back {
					require.Len(t, st.Lines, 1)
					l := through(st.Lines[0].A, st.Lines[0].B)
					assert.InDelta(t, 0, distance(l.reflection().Apply(from), to), 1e-6, "%s, %s", name, st.Name)
					continue
				}
				comes := false
				for _, f := range p.Facets {
					at, ok := carried(f.At(k), f.At(k+1), from)
					comes = comes || ok && distance(at, to) < 1e-6 && distance(from, to) > 0.1
				}
				assert.True(t, comes, "%s, %s: %v to %v", name, st.Name, from, to)
			}
			turned = st.Turned
		}
	}
}

// carried is where a place of a facet comes to lie that moves from one outline to the other; ok is false for a place beside it.
func carried(before, after []Pt, at Pt) (to Pt, ok bool) {
	turn := math.Copysign(1, area(before))
	for i, a := range before {
		if b := before[(i+1)%len(before)]; turn*through(a, b).left(at) < -1e-6 {
			return to, false
		}
	}
	u, v := minus(before[1], before[0]), minus(before[2], before[0])
	w, det := minus(at, before[0]), u.X*v.Y-u.Y*v.X
	s, r := (w.X*v.Y-w.Y*v.X)/det, (u.X*w.Y-u.Y*w.X)/det
	x, y := minus(after[1], after[0]), minus(after[2], after[0])
	return Pt{after[0].X + s*x.X + r*y.X, after[0].Y + s*x.Y + r*y.Y}, true
}

func minus(a, b Pt) Pt { return Pt{a.X - b.X, a.Y - b.Y} }

// Coloured paper lies coloured side down at the start, so that the layers folded over show it.
func TestColouredSideEndsOutside(t *testing.T) {
	for name, u := range papers {
		steps := patternOf(t, u).Steps
		last := steps[len(steps)-1].After
		assert.True(t, last[len(last)-1].Coloured, name)
	}
}

func TestUnfoldablePaperIsRefused(t *testing.T) {
	_, err := NewPattern(figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Single})
	assert.EqualError(t, err, "No flap is left to lock the unit (flap -11 mm): the strip must be more than twice as long as it is wide.")
	_, err = NewPattern(figure.Unit{LongMM: 200, ShortMM: 10, Fold: figure.Single})
	assert.ErrorContains(t, err, "cut the strip shorter")
}

// Whatever the paper, as long as it folds: the sheet is tiled, no facet is stretched.
func TestAnyFoldablePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		short := rapid.Float64Range(5, 300).Draw(t, "short")
		ratio := rapid.Float64Range(1.01, 4.9).Draw(t, "ratio")
		u := figure.Unit{ShortMM: short, LongMM: short * ratio, Fold: figure.Doubled}
		p := patternOf(t, u)
		sum := 0.0
		for _, f := range p.Facets {
			sum += area(f.Sheet)
			assert.InDelta(t, area(f.Sheet), math.Abs(area(f.At(len(p.Steps)))), 1e-4)
		}
		assert.InDelta(t, u.LongMM*u.ShortMM, sum, 1e-3)
		for at, spokes := range innerVertices(p) {
			assert.Zero(t, len(spokes)%2, at)
		}
	})
}

// By hand: on the single strip, plain side up, the ends fold towards the maker (valley). Turned over, the
// flaps show their plain side, so that corners and flaps fold towards it (valley), while the triangle
// shows its coloured side, so that folding it in half is a mountain on the plain one.
func TestDirectionsOfTheSingleFold(t *testing.T) {
	p := patternOf(t, halfA9Single)
	want := map[string]Direction{"ends": Valley, "corners": Valley, "flaps": Valley, "half": Mountain}
	count := map[string]int{}
	for _, c := range p.Creases {
		name := p.Steps[c.Step-1].Name
		count[name]++
		assert.Equal(t, want[name], c.Direction, name)
	}
	assert.Equal(t, map[string]int{"ends": 2, "corners": 2, "flaps": 2, "half": 1}, count)
}
