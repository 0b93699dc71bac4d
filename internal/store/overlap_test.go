package store

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
)

func TestUndoOverAnothersUndoShowsWhatWasBeforeBoth(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon, ada := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon"), newPage(t, s, id, "Ada")
	ring := func() string { return look(get(t, s, id), 1) }

	mira.edit(paint(1, 0, 3, "soot"))
	jon.edit(paint(1, 2, 2, "chalk"))
	mira.edit(&figure.SetTitle{Title: "Puffin"}) // what leaves the units alone does not matter
	mira.undo()
	mira.undo()
	assert.Equal(t, "bbccbb", ring())
	jon.undo()
	assert.Equal(t, "bbbbbb", ring(), "Mira's soot is taken back, so it does not come again with Jon's undo")
	jon.redo()
	assert.Equal(t, "bbccbb", ring())
	mira.redo()
	assert.Equal(t, "ssccbb", ring(), "Jon's chalk lies over it")
	jon.undo()
	assert.Equal(t, "sssbbb", ring(), "Mira's step stands again")

	ada.edit(paint(1, 1, 3, "chalk")) // three deep: soot, chalk, brick
	jon.edit(paint(1, 1, 1, "brick"))
	assert.Equal(t, "sbccbb", ring())
	ada.undo()
	assert.Equal(t, "sbsbbb", ring())
	mira.undo()
	assert.Equal(t, "bbbbbb", ring(), "Jon's brick stays where it lies on the others")
	mira.redo()
	jon.undo()
	assert.Equal(t, "sssbbb", ring(), "below Jon's brick is Mira's soot, since Ada's chalk is taken back")
}

func TestUndoMindsSidesAndColoursApart(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(&figure.Paint{Runs: []figure.PaintRun{{Ring: 2, At: 1, N: 1, Colour: "soot", Side: "short"}}})
	jon.edit(&figure.Paint{Runs: []figure.PaintRun{{Ring: 2, At: 1, N: 1, Colour: "chalk"}}})
	mira.undo()
	f := get(t, s, id)
	assert.Equal(t, figure.Long, f.Rings[1].Cells[1].Side, "nobody has turned it since")
	assert.Equal(t, "bcbbbb", look(f, 2))
	jon.undo()
	assert.Equal(t, "bbbbbb", look(get(t, s, id), 2))
}

func TestUndoIsPlainWherePapersOrRingsChangedInBetween(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 6, "soot"))
	mira.edit(paint(1, 0, 1, "chalk"))
	jon.edit(paint(1, 0, 1, "brick"))
	mira.undo()
	mira.edit(&figure.RemoveColour{ID: "chalk", Replace: "soot"})
	mira.undo()
	jon.undo()
	assert.Equal(t, "csssss", look(get(t, s, id), 1))
}

func TestUndoKeepsWhatOthersPaintedAlike(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 2, "soot"))
	jon.edit(paint(1, 1, 2, "soot"))
	mira.undo()
	assert.Equal(t, "bssbbb", look(get(t, s, id), 1), "Jon has painted the second unit soot too")
}

// laid is one stroke in the model of TestFigureLooksAsTheStandingStrokesLeaveIt.
type laid struct {
	runs   []figure.PaintRun
	stands bool
}

// painter is a person of the model: their strokes that stand and those taken back, the next ones last.
type painter struct {
	*asker
	done, undone []*laid
}

func last(of *[]*laid) *laid {
	k := (*of)[len(*of)-1]
	*of = (*of)[:len(*of)-1]
	return k
}

// drawStroke draws runs on the first three rings, which may lie on each other, in colours and sides.
func drawStroke(rt *rapid.T) []figure.PaintRun {
	var runs []figure.PaintRun
	for range rapid.IntRange(1, 4).Draw(rt, "runs") {
		r := figure.PaintRun{Ring: figure.RingID(rapid.IntRange(1, 3).Draw(rt, "ring")), At: rapid.IntRange(0, 5).Draw(rt, "at")}
		r.N = rapid.IntRange(1, 6-r.At).Draw(rt, "n")
		r.Colour = rapid.SampledFrom([]string{"brick", "chalk", "soot", ""}).Draw(rt, "colour")
		r.Side = rapid.SampledFrom([]string{"", "", "long", "short"}).Draw(rt, "side")
		if r.Colour == "" && r.Side == "" {
			r.Side = "short"
		}
		runs = append(runs, r)
	}
	return runs
}

// replayed is how the first three rings of a tube in brick look when the strokes that stand are painted on it
// one after the other.
func replayed(all []*laid) (looks [3][6]string) {
	var colours, sides [3][6]string
	for i := range looks {
		for u := range looks[i] {
			colours[i][u], sides[i][u] = "brick", "long"
		}
	}
	for _, k := range all {
		for _, r := range k.runs {
			for u := r.At; k.stands && u < r.At+r.N; u++ {
				if r.Colour != "" {
					colours[r.Ring-1][u] = r.Colour
				}
				if r.Side != "" {
					sides[r.Ring-1][u] = r.Side
				}
			}
		}
	}
	for i := range looks {
		for u := range looks[i] {
			looks[i][u] = colours[i][u] + " " + sides[i][u]
		}
	}
	return looks
}

// shown is how the rings with the identities 1 to 3 look.
func shown(f *figure.Figure) (looks [3][6]string) {
	for _, r := range f.Rings {
		for u, c := range r.Cells {
			if r.ID <= 3 {
				looks[r.ID-1][u] = f.Colours[c.Colour].ID + " " + c.Side.String()
			}
		}
	}
	return looks
}

// Whatever three people paint, take back and do again, in any order, while a fourth renames the figure, adds
// papers and puts rings in, and the server starts anew: the rings look as the strokes that stand leave them
// when they are painted one after the other on the figure as it was made.
func TestFigureLooksAsTheStandingStrokesLeaveIt(t *testing.T) {
	s := open(t)
	rapid.Check(t, func(rt *rapid.T) {
		id := create(t, s, tube(t, 6, 3))
		people := []*painter{{asker: newPage(t, s, id, "Mira")}, {asker: newPage(t, s, id, "Jon")}, {asker: newPage(t, s, id, "Ada")}}
		tom := newPage(t, s, id, "Tom")
		var all []*laid
		for n := range rapid.IntRange(1, 40).Draw(rt, "steps") {
			p := rapid.SampledFrom(people).Draw(rt, "who")
			switch kind := rapid.IntRange(0, 9).Draw(rt, "kind"); {
			case kind <= 2 && len(p.done) > 0:
				k := last(&p.done)
				k.stands, p.undone = false, append(p.undone, k)
				require.Empty(rt, p.undo().Faults)
			case kind <= 4 && len(p.undone) > 0:
				k := last(&p.undone)
				k.stands, p.done = true, append(p.done, k)
				require.Empty(rt, p.redo().Faults)
			case kind == 8:
				tom.edit(rapid.SampledFrom([]figure.Edit{
					&figure.SetTitle{Title: fmt.Sprintf("Puffin %d", n)},
					&figure.AddColour{Name: "Sand", Hex: "#d8c38f", Index: new(int)},
					&figure.InsertRing{Above: 1, Colour: "soot"},
					&figure.DuplicateRings{Rings: []figure.RingID{2}},
					&figure.MoveRings{Rings: []figure.RingID{3}, Above: 1},
				}).Draw(rt, "other"))
			case kind == 9:
				s.dropFromMemory(id)
			default:
				k := &laid{drawStroke(rt), true}
				if !p.ask(Ask{Kind: KindEdit, Edit: &figure.Paint{Runs: k.runs}}).Nothing {
					all, p.done, p.undone = append(all, k), append(p.done, k), nil
				}
			}
			require.Equal(rt, replayed(all), shown(get(t, s, id)))
		}
	})
}

// Steps that wait for a lost connection come all at once: those in the making count as those in the log.
func TestUndoMindsStepsOfTheSameRequest(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 3, "soot"))
	jon.edit(paint(1, 2, 2, "chalk"))
	asks := []Ask{{Kind: KindUndo}, {Kind: KindRedo}, {Kind: KindUndo}, {Kind: KindEdit, Edit: paint(2, 0, 1, "soot")}, {Kind: KindUndo}}
	for i := range asks {
		asks[i].Seq = mira.seq + int64(i) + 1
	}
	answers, err := s.Apply(ctx, id, mira.who, mira.client, asks)
	require.NoError(t, err)
	for _, a := range answers {
		assert.Empty(t, a.Faults)
	}
	assert.Equal(t, "bbccbb", look(get(t, s, id), 1))
	jon.undo()
	assert.Equal(t, "bbbbbb", look(get(t, s, id), 1))
}

// Where the log would have to be read too far, the plain inverse has to do: it leaves what others have painted.
func TestUndoOfWhatIsLongAgoIsPlain(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 3, "soot"))
	for i := range mostLayers + 5 {
		jon.edit(paint(2, i%6, 1, []string{"soot", "chalk"}[i/6%2]))
	}
	jon.edit(paint(1, 2, 2, "chalk"))
	mira.undo()
	assert.Equal(t, "bbccbb", look(get(t, s, id), 1))
}

// An undo passes over strokes by what it keeps of them: it must never pass over one that lies on what it takes back.
func TestImprintShowsEveryFaceThatAStrokePaints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		stroke := &figure.Paint{}
		for range rapid.IntRange(0, 5).Draw(rt, "runs") {
			stroke.Runs = append(stroke.Runs, figure.PaintRun{Ring: figure.RingID(rapid.IntRange(1, 2000).Draw(rt, "ring")), N: 1,
				Colour: rapid.SampledFrom([]string{"", "soot"}).Draw(rt, "colour"), Side: rapid.SampledFrom([]string{"", "short"}).Draw(rt, "side")})
		}
		p := imprintOf(KindEdit, 0, stroke)
		require.True(rt, p.painting)
		for _, r := range stroke.Runs {
			for _, part := range parts(r) {
				var sought faces
				sought.add(part.face)
				require.True(rt, p.on.meet(&sought), "%v", part)
			}
		}
	})
	var ring, sides faces
	ring.add(face{7, false})
	sides.add(face{7, true})
	assert.False(t, ring.meet(&sides), "the side of a unit and its colour are not the same")
}

// Mira's stroke lies under hundreds of others, some on its ring, most not, and the design is read anew in between: what
// is kept of steps in memory and what is read of them from the log make one log.
func TestUndoUnderHundredsOfStrokes(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 300))
	mira, jon, ada := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon"), newPage(t, s, id, "Ada")
	ada.edit(paint(257, 0, 2, "chalk")) // the imprints of rings 1 and 257 are alike
	mira.edit(paint(1, 0, 4, "soot"))
	for n := range 2*readImprints + 7 {
		jon.edit(paint([]figure.RingID{2, 3, 257}[n%3], n/3%6, 1, []string{"soot", "chalk", "brick"}[n/18%3]))
	}
	jon.edit(paint(1, 3, 2, "chalk"))
	s.dropFromMemory(id)
	jon.edit(paint(2, 0, 6, "chalk"))
	mira.undo()
	assert.Equal(t, "bbbccb", look(get(t, s, id), 1))
	mira.redo()
	assert.Equal(t, "sssccb", look(get(t, s, id), 1))
	jon.undo()
	jon.undo()
	assert.Equal(t, "ssssbb", look(get(t, s, id), 1), "below Jon's chalk lies Mira's soot, done again")
}

// BenchmarkUndoAmongOthers takes back and does again a stroke of 64 units, in a figure of 12 800 units with a log of
// 10 000 steps, fresh from the disk and again. Nobody else has painted there, so that the log has to be read
// from the newest step down to the stroke, or until it is too far. Everybody waits meanwhile. Own limit: 20 ms.
func BenchmarkUndoAmongOthers(b *testing.B) {
	for _, since := range []int{50, 800, 9900} {
		b.Run(fmt.Sprintf("after-%d-steps-of-others", since), func(b *testing.B) {
			s := open(b)
			id := create(b, s, tube(b, 64, 200))
			mira, jon := newPage(b, s, id, "Mira"), newPage(b, s, id, "Jon")
			for n := 1; n <= 10000; n++ {
				switch {
				case n == 10000-since:
					mira.edit(longStroke(1, 1, 64, 64))
				case n%10 == 9:
					jon.undo()
				default:
					jon.edit(elsewhere(n))
				}
			}
			s.dropFromMemory(id)
			mayTakeBack(b, s, id, mira.who) // as every page asks when it opens
			start := time.Now()
			require.Empty(b, mira.undo().Faults)
			fresh := time.Since(start)
			var times []time.Duration
			for n := 10001; b.Loop(); n++ {
				jon.edit(elsewhere(n))
				deed := mira.redo
				if n%2 == 0 {
					deed = mira.undo
				}
				start := time.Now()
				require.Empty(b, deed().Faults)
				times = append(times, time.Since(start))
			}
			b.ReportMetric(gauge.MS(fresh), "fresh-ms")
			gauge.Report(b, gauge.Figure{Name: fmt.Sprintf("Undo of a stroke, %d steps of others since", since), Unit: "ms", Measured: gauge.MS(gauge.Share(times, gauge.Quiet)), Allowed: 20})
		})
	}
}

// elsewhere is a stroke of 64 units that leaves the lowest ring alone.
func elsewhere(n int) figure.Edit {
	p := longStroke(int64(n), 199, 64, 64).(*figure.Paint)
	for i := range p.Runs {
		p.Runs[i].Ring++
	}
	return p
}

func mayTakeBack(b *testing.B, s *Store, id string, who Person) {
	require.NoError(b, s.Look(ctx, id, func(n Now) error {
		_, _, err := s.CanTakeBack(n, who.ID)
		return err
	}))
}
