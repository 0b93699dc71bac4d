package store

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// look gives a ring's colours as letters.
func look(f *figure.Figure, ring int) string {
	s := ""
	for _, c := range f.Rings[ring-1].Cells {
		s += f.Colours[c.Colour].ID[:1]
	}
	return s
}

func TestStepsAreKeptAndFoundAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	id := create(t, s, tube(t, 6, 3))
	mira := newPage(t, s, id, "Mira")
	assert.Equal(t, int64(1), mira.edit(paint(2, 0, 2, "soot")).Rev)
	assert.Equal(t, int64(2), mira.edit(&figure.InsertRing{Above: 3, Colour: "chalk"}).Rev)
	assert.Equal(t, int64(3), mira.edit(paint(4, 1, 1, "brick")).Rev, "the new ring has the next identity")
	want := get(t, s, id)
	require.NoError(t, s.Close())

	s = openAt(t, path)
	f := get(t, s, id)
	assert.Equal(t, want, f)
	assert.Equal(t, []string{"bbbbbb", "ssbbbb", "bbbbbb", "cbcccc"}, []string{look(f, 1), look(f, 2), look(f, 3), look(f, 4)})
}

// workless are answers as they are when they are given again: that takes no work.
func workless(answers []Answer) []Answer {
	for i := range answers {
		answers[i].Work, answers[i].Written = 0, 0
	}
	return answers
}

func TestAskSentTwiceIsDoneOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	id := create(t, s, tube(t, 6, 3))
	who := Person{ID: "mira"}
	asks := []Ask{
		{Seq: 1, Kind: KindEdit, Edit: paint(2, 0, 2, "soot")},
		{Seq: 2, Kind: KindEdit, Edit: paint(2, 0, 2, "no such paper")},
		{Seq: 3, Kind: KindEdit, Edit: paint(2, 0, 2, "soot")}, // nothing left to change
		{Seq: 4, Kind: KindUndo},
		{Seq: 5, Kind: KindEdit, Faults: figure.Faults{{Where: "do", What: words.T("figure.edit.unknown", "Do", "dance"), Fix: words.T("figure.edit.unknown.fix")}}},
	}
	first, err := s.Apply(ctx, id, who, "page", asks)
	require.NoError(t, err)
	assert.Equal(t, []int64{1, 1, 1, 2, 2}, []int64{first[0].Rev, first[1].Rev, first[2].Rev, first[3].Rev, first[4].Rev})
	assert.Empty(t, first[0].Faults)
	assert.NotEmpty(t, first[1].Faults)
	assert.Empty(t, first[2].Faults)
	assert.Equal(t, "do", first[4].Faults[0].Where)
	assert.Equal(t, 18, first[3].Work, "an undo may read every unit")
	assert.Positive(t, first[0].Written)
	assert.Zero(t, first[1].Written, "what was refused is no step")
	first = workless(first)

	check := func(s *Store) {
		again, err := s.Apply(ctx, id, who, "page", asks)
		require.NoError(t, err)
		assert.Equal(t, first, again)
		mixed, err := s.Apply(ctx, id, who, "page", asks[3:])
		require.NoError(t, err)
		assert.Equal(t, first[3:], mixed)
		assert.Equal(t, "bbbbbb", look(get(t, s, id), 2))
	}
	check(s)
	require.NoError(t, s.Close())
	s = openAt(t, path)
	check(s)

	more, err := s.Apply(ctx, id, who, "page", append(asks[4:5:5], Ask{Seq: 6, Kind: KindEdit, Edit: paint(1, 0, 1, "chalk")}))
	require.NoError(t, err)
	assert.Equal(t, int64(3), more[1].Rev, "a repeated ask and a new one in one post")
}

func TestAsksOutOfTurnAreRefusedWhole(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	who := Person{ID: "mira"}
	one := func(seq int64) Ask { return Ask{Seq: seq, Kind: KindEdit, Edit: paint(1, int(seq)%6, 1, "soot")} }
	for _, c := range []struct {
		asks []Ask
		want int64
	}{
		{[]Ask{one(2)}, 1},
		{[]Ask{one(0)}, 1},
		{[]Ask{one(-4)}, 1},
		{[]Ask{one(1), one(3)}, 2},
		{[]Ask{one(1), one(1)}, 2},
	} {
		_, err := s.Apply(ctx, id, who, "page", c.asks)
		require.Equal(t, Conflict, code(t, err))
		assert.Equal(t, c.want, err.(*Error).Expected)
	}
	assert.Equal(t, "bbbbbb", look(get(t, s, id), 1))
	_, err := s.Apply(ctx, id, who, "page", []Ask{one(1)})
	require.NoError(t, err)
	_, err = s.Apply(ctx, id, Person{ID: "someone else"}, "page", []Ask{one(2)})
	require.Equal(t, Conflict, code(t, err))
	assert.Equal(t, int64(1), err.(*Error).Expected, "another person's pages have their own numbers")
}

func TestEachUndoesOnlyTheirOwnSteps(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 3, "soot"))
	jon.edit(paint(1, 2, 2, "chalk"))
	mira.edit(paint(2, 0, 1, "soot"))
	jon.edit(paint(3, 0, 1, "chalk"))

	mira.undo()
	mira.undo()
	assert.Equal(t, "bbccbb", look(get(t, s, id), 1), "what Jon painted over stays")
	assert.Equal(t, "cbbbbb", look(get(t, s, id), 3))
	a := mira.undo()
	require.Len(t, a.Faults, 1)
	assert.Contains(t, a.Faults[0].Error(), "no step of yours left")

	require.NoError(t, s.Close()) // undo survives a restart
	s = openAt(t, path)
	mira.s, jon.s = s, s
	mira.redo()
	assert.Equal(t, "ssccbb", look(get(t, s, id), 1))
	jon.undo()
	assert.Equal(t, "bbbbbb", look(get(t, s, id), 3))
	mira.redo()
	assert.Equal(t, "sbbbbb", look(get(t, s, id), 2))
	assert.NotEmpty(t, mira.redo().Faults)
	mira.undo()
	mira.edit(paint(3, 5, 1, "soot"))
	assert.NotEmpty(t, mira.redo().Faults, "a new step ends what could be done again")
	mira.undo()
	mira.undo()
	f := get(t, s, id)
	assert.Equal(t, "bbccbb bbbbbb bbbbbb", look(f, 1)+" "+look(f, 2)+" "+look(f, 3))
}

func TestUndoThatNoLongerFitsGivesWayToTheOneBefore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	id := create(t, s, tube(t, 6, 4))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 1, "soot"))
	mira.edit(&figure.RingNote{Ring: 4, Note: "count twice"})
	jon.edit(&figure.RemoveRings{Rings: []figure.RingID{4}})
	refused := mira.undo()
	require.NotEmpty(t, refused.Faults)
	require.NoError(t, s.Close())
	s = openAt(t, path)
	mira.s, jon.s = s, s
	assert.Empty(t, mira.undo().Faults)
	assert.Equal(t, "bbbbbb", look(get(t, s, id), 1))
	assert.NotEmpty(t, mira.undo().Faults)
}

func TestRestoreIsAStepOfItsOwn(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 3, "soot"))
	mira.edit(&figure.RemoveRings{Rings: []figure.RingID{3}})
	mira.edit(&figure.SetTitle{Title: "Puffin"})
	a := mira.ask(Ask{Kind: KindRestore, Rev: 1})
	assert.Equal(t, int64(4), a.Rev)
	f := get(t, s, id)
	assert.Equal(t, "sssbbb", look(f, 1))
	assert.Equal(t, "Lighthouse tower", f.Title)
	assert.Equal(t, figure.RingID(3), f.Rings[2].ID, "the ring that was gone has its old identity")
	list, err := s.List(ctx, false)
	require.NoError(t, err)
	assert.Equal(t, "Lighthouse tower", list[0].Title)

	mira.undo()
	assert.Equal(t, "Puffin", get(t, s, id).Title)
	mira.redo()
	assert.Equal(t, "Lighthouse tower", get(t, s, id).Title)

	jon.edit(paint(2, 0, 1, "chalk"))
	refused := mira.undo()
	require.NotEmpty(t, refused.Faults, "would lose what Jon did")
	assert.Contains(t, refused.Faults[0].Error(), "lose their work")
	assert.Equal(t, "cbbbbb", look(get(t, s, id), 2))

	for _, rev := range []int64{-1, 99} {
		assert.NotEmpty(t, mira.ask(Ask{Kind: KindRestore, Rev: rev}).Faults)
	}
}

func TestHistoryNamesEveryStep(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira, jon := newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon")
	mira.edit(paint(1, 0, 3, "soot"))
	jon.edit(paint(2, 0, 1, "chalk"))
	mira.undo()
	mira.redo()
	mira.undo()
	mira.ask(Ask{Kind: KindRestore, Rev: 2})
	mira.ask(Ask{Kind: KindRestore, Rev: 6})
	mira.ask(Ask{Kind: KindRestore, Rev: 3})
	mira.undo()
	mira.redo()
	mira.ask(Ask{Kind: KindRestore, Rev: 0})
	steps, err := s.History(ctx, id, 0, 100)
	require.NoError(t, err)
	var got []string
	for _, st := range steps {
		line := fmt.Sprintf("%d %s %s", st.Rev, st.Person.Name, st.Label)
		if st.Undone {
			line += " (undone)"
		}
		got = append(got, line)
	}
	assert.Equal(t, []string{
		"11 Mira Restored the beginning",
		"10 Mira Redid: Restored the version of: Undid: Painted 3 units Soot",
		"9 Mira Undid: Restored the version of: Undid: Painted 3 units Soot (undone)",
		"8 Mira Restored the version of: Undid: Painted 3 units Soot",
		"7 Mira Restored the version of: Painted 1 unit Chalk",
		"6 Mira Restored the version of: Painted 1 unit Chalk",
		"5 Mira Undid: Painted 3 units Soot",
		"4 Mira Redid: Painted 3 units Soot (undone)",
		"3 Mira Undid: Painted 3 units Soot (undone)",
		"2 Jon Painted 1 unit Chalk",
		"1 Mira Painted 3 units Soot",
	}, got)
	assert.Equal(t, KindUndo, steps[6].Kind)
	assert.Equal(t, int64(4), steps[6].Target)

	part, err := s.History(ctx, id, 5, 2)
	require.NoError(t, err)
	require.Len(t, part, 2)
	assert.Equal(t, int64(4), part[0].Rev)
}

func TestAnyRevisionCanBeSeen(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira := newPage(t, s, id, "Mira")
	for i := range 2*snapshotSteps + 7 {
		mira.edit(paint(figure.RingID(1+i%3), i%6, 1, []string{"soot", "chalk", "brick"}[(i/6)%3]))
	}
	var snapshots int
	require.NoError(t, s.read.QueryRow(`SELECT count(*) FROM snapshots`).Scan(&snapshots))
	assert.Equal(t, 3, snapshots)

	want := tube(t, 6, 3) // worked out here step by step, without snapshots
	check := map[int]bool{0: true, 1: true, snapshotSteps - 1: true, snapshotSteps: true, snapshotSteps + 1: true, 2*snapshotSteps + 7: true}
	for i := 0; i <= 2*snapshotSteps+7; i++ {
		if check[i] {
			got, err := s.At(ctx, id, int64(i))
			require.NoError(t, err)
			assert.Equal(t, string(want.Write()), string(got.Write()), "revision %d", i)
		}
		want.Rings[i%3].Cells[i%6].Colour = []uint8{2, 1, 0}[(i/6)%3]
	}
	for _, rev := range []int64{-1, 2*snapshotSteps + 8} {
		_, err := s.At(ctx, id, rev)
		assert.Equal(t, NotFound, code(t, err))
	}
}

func TestMissedUnitsAreTold(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira := newPage(t, s, id, "Mira")
	mira.edit(&figure.RemoveRings{Rings: []figure.RingID{3}})
	a := mira.edit(paint(3, 0, 4, "soot"))
	require.Len(t, a.Remarks, 1)
	assert.Equal(t, "4 units of the stroke are not there any more.", a.Remarks[0].String())
	assert.Equal(t, int64(1), a.Rev, "no step: nothing changed")
}

func TestWatchIsToldInOrderOnceStored(t *testing.T) {
	s := open(t)
	var seen, told []int64
	s.SetWatch(func(n Now, step Step) func() {
		seen = append(seen, step.Rev)
		title := n.Figure.Title
		return func() {
			var rows int
			assert.NoError(t, s.read.QueryRow(`SELECT count(*) FROM steps WHERE rev = ?`, step.Rev).Scan(&rows))
			assert.Equal(t, 1, rows)
			told = append(told, step.Rev)
			assert.Equal(t, fmt.Sprintf("Puffin %d", step.Rev), title, "the figure as after the step")
		}
	})
	id := create(t, s, tube(t, 6, 3))
	_, err := s.Apply(ctx, id, Person{ID: "mira"}, "page", []Ask{
		{Seq: 1, Kind: KindEdit, Edit: &figure.SetTitle{Title: "Puffin 1"}},
		{Seq: 2, Kind: KindEdit, Edit: &figure.SetTitle{Title: "Puffin 2"}},
	})
	require.NoError(t, err)
	assert.Equal(t, []int64{1, 2}, seen)
	assert.Equal(t, []int64{1, 2}, told)
}

func TestFailedTransactionChangesNothing(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 6, 3))
	mira := newPage(t, s, id, "Mira")
	mira.edit(paint(1, 0, 3, "soot"))
	_, err := s.write.Exec(`CREATE TRIGGER full BEFORE INSERT ON steps BEGIN SELECT raise(ABORT, 'the disk is full'); END`)
	require.NoError(t, err)
	ask := []Ask{{Seq: 2, Kind: KindEdit, Edit: paint(1, 0, 6, "chalk")}}
	_, err = s.Apply(ctx, id, mira.who, mira.client, ask)
	require.ErrorContains(t, err, "the disk is full")
	assert.Equal(t, "sssbbb", look(get(t, s, id), 1))
	_, err = s.write.Exec(`DROP TRIGGER full`)
	require.NoError(t, err)
	answers, err := s.Apply(ctx, id, mira.who, mira.client, ask)
	require.NoError(t, err)
	assert.Equal(t, int64(2), answers[0].Rev)
	assert.Equal(t, "cccccc", look(get(t, s, id), 1))
}

func TestManyDesignsComeAndGoFromMemory(t *testing.T) {
	s := open(t)
	var ids []string
	for range 3 * keepDesigns {
		ids = append(ids, create(t, s, tube(t, 6, 3)))
	}
	for round := range 2 {
		for i, id := range ids {
			newPage(t, s, id, fmt.Sprintf("Mira-%d", round)).edit(paint(1, round, 1, "soot"))
			require.LessOrEqual(t, len(s.designs), keepDesigns, i)
		}
	}
	for _, id := range ids {
		assert.Equal(t, "ssbbbb", look(get(t, s, id), 1))
	}
}

// TestUndoingEverythingGivesTheFirstFigure: whatever three people do, undo and do again, each on rings of
// their own, the log gives the figure that stands in memory, and when each has undone all they could, the
// figure is as it was made.
func TestUndoingEverythingGivesTheFirstFigure(t *testing.T) {
	s := open(t)
	rapid.Check(t, func(rt *rapid.T) {
		id := create(t, s, tube(t, 8, 3))
		people := []*asker{newPage(t, s, id, "Mira"), newPage(t, s, id, "Jon"), newPage(t, s, id, "Ada")}
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			who := rapid.IntRange(0, 2).Draw(rt, "who")
			switch p := people[who]; rapid.IntRange(0, 5).Draw(rt, "kind") {
			case 0:
				p.undo()
			case 1:
				p.redo()
			default:
				at := rapid.IntRange(0, 7).Draw(rt, "at")
				p.edit(paint(figure.RingID(who+1), at, rapid.IntRange(1, 8-at).Draw(rt, "n"), rapid.SampledFrom([]string{"brick", "chalk", "soot"}).Draw(rt, "colour")))
			}
		}
		inMemory := get(t, s, id)
		s.dropFromMemory(id)
		require.Equal(rt, inMemory, get(t, s, id))
		for _, p := range people {
			for len(p.undo().Faults) == 0 {
			}
		}
		require.Equal(rt, string(tube(t, 8, 3).Write()), string(get(t, s, id).Write()))
	})
}

// dropFromMemory makes the next use of a design read it from the file.
func (s *Store) dropFromMemory(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.designs, id)
}
