package figure

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/words"
)

// plain makes a figure of plain rings in two colours.
func plain(units, rings int) *Figure {
	f := &Figure{Title: "Tube", Unit: Unit{52, 37, Doubled}, Colours: []Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b"}, {ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}}
	for i := 0; i < rings; i++ {
		r := Ring{ID: RingID(i + 1), Cells: make([]Cell, units)}
		if i > 0 {
			r.Start = f.Footing(i).Usual()
			r.Cells = plainCells(units)
		}
		f.Rings = append(f.Rings, r)
	}
	f.NextRing, f.NextExtra = RingID(rings+1), 1
	return f
}

func do(t testing.TB, f *Figure, e Edit) (Edit, Change) {
	t.Helper()
	back, ch, err := Apply(f, e)
	require.NoError(t, err)
	require.Empty(t, f.Validate())
	return back, ch
}

func takes(r *Ring) []int {
	var out []int
	for _, c := range r.Cells {
		out = append(out, int(c.Takes))
	}
	return out
}

func TestPaintAndUndo(t *testing.T) {
	f := plain(12, 3)
	before := f.Clone()
	back, ch := do(t, f, &Paint{Runs: []PaintRun{{Ring: 2, At: 10, N: 2, Colour: "chalk"}, {Ring: 2, At: 0, N: 1, Colour: "chalk", Side: "short"}}})
	assert.Equal(t, []PaintRun{{Ring: 2, At: 10, N: 2, Colour: "chalk"}, {Ring: 2, At: 0, N: 1, Colour: "chalk", Side: "short"}}, ch.Paint)
	assert.Equal(t, Cell{Colour: 1, Takes: 2, Side: Short}, f.Rings[1].Cells[0])
	do(t, f, back)
	assert.Equal(t, before, f)
}

func TestUndoLeavesWhatOthersPaintedSince(t *testing.T) {
	f := plain(12, 3)
	f.Colours = append(f.Colours, Colour{ID: "soot", Name: "Soot", Hex: "#2b2b2e"})
	mine, _ := do(t, f, &Paint{Runs: []PaintRun{{Ring: 1, At: 0, N: 4, Colour: "chalk"}}})
	do(t, f, &Paint{Runs: []PaintRun{{Ring: 1, At: 2, N: 1, Colour: "soot"}}})
	do(t, f, mine)
	var got []uint8
	for _, c := range f.Rings[0].Cells[:4] {
		got = append(got, c.Colour)
	}
	assert.Equal(t, []uint8{0, 0, 2, 0}, got)
}

func TestStrokeOverAGoneRingKeepsTheRest(t *testing.T) {
	f := plain(12, 4)
	do(t, f, &RemoveRings{Rings: []RingID{3, 4}})
	_, ch := do(t, f, &Paint{Runs: []PaintRun{{Ring: 2, At: 0, N: 3, Colour: "chalk"}, {Ring: 3, At: 0, N: 3, Colour: "chalk"}}})
	assert.Equal(t, 3, ch.Missed)
	assert.Len(t, ch.Paint, 1)
}

func TestBadEditsAreRefusedWholeAndNamed(t *testing.T) {
	for _, c := range []struct{ edit, where, says string }{
		{`{"do":"dance"}`, "do", `no edit "dance"`},
		{`{"do":"paint","runs":[],"x":1}`, "", "unknown field"},
		{`{"do":"paint","runs":[{"ring":1,"at":0,"n":"3","colour":"chalk"}]}`, "runs.n", "Found string"},
		{`{"do":"paint","runs":[{"ring":1,"at":-1,"n":1,"colour":"chalk"}]}`, "runs[0]", "no units -1"},
		{`{"do":"paint","runs":[{"ring":9,"at":0,"n":1,"colour":"chalk"}]}`, "runs[0].ring", "no such ring"},
		{`{"do":"paint","runs":[{"ring":1,"at":0,"n":1,"colour":"coal"}]}`, "runs[0].colour", `no colour "coal"`},
		{`{"do":"paint","runs":[{"ring":1,"at":0,"n":1}]}`, "runs[0]", "neither"},
		{`{"do":"paint","runs":[{"ring":1,"at":0,"n":1,"side":"inside"}]}`, "runs[0].side", "long, short"},
		{`{"do":"remove_rings","rings":[1,3]}`, "rings", "directly above"},
		{`{"do":"remove_rings","rings":[1,2,3]}`, "rings", "all the rings"},
		{`{"do":"set_count","rings":[2],"units":49}`, "rings[1]", "may have 6 to 24 of them"},
		{`{"do":"set_count","rings":[2],"units":2}`, "units", "3 to 1000"},
		{`{"do":"reshape","ring":2,"runs":[{"n":11,"colour":"brick"}]}`, "rings[1]", "2 too few"},
		{`{"do":"set_title","title":" "}`, "title", "empty"},
		{`{"do":"set_unit","long_mm":37,"short_mm":52,"fold":"doubled"}`, "unit.long_mm", "Swap"},
		{`{"do":"set_front","front":12}`, "front", "from 0 to 11.5"},
		{`{"do":"add_colour","name":"Sea","hex":"blue"}`, "hex", "six digits"},
		{`{"do":"add_colour","name":"Sea","hex":"#0b6e6e","sign":"Ä"}`, "sign", `"Ä" cannot be the sign`},
		{`{"do":"edit_colour","id":"brick","name":"Brick red","hex":"#a63a2b","sign":"BR"}`, "sign", "one character"},
		{`{"do":"batch","edits":[{"do":"edit_colour","id":"brick","name":"Brick red","hex":"#a63a2b","sign":"K"},{"do":"edit_colour","id":"chalk","name":"Chalk","hex":"#f4efe6","sign":"K"}]}`, "sign", `"Chalk" and "Brick red" have the same sign, K`},
		{`{"do":"remove_colour","id":"brick"}`, "replace", "used by 36 units"},
		{`{"do":"order_colours","ids":["chalk"]}`, "ids", "1 colour is missing"},
		{`{"do":"add_extra","extra":{"kind":"glued","name":"eye","ring":1,"at":0}}`, "extra.diameter_mm", "from 1 to 1000"},
		{`{"do":"add_extra","extra":{"kind":"tucked","name":"ear","units":0,"colour":"brick","ring":1,"at":0}}`, "extra.units", "from 1 to"},
		{`{"do":"edit_extra","extra":{"key":4,"kind":"glued","name":"eye","diameter_mm":9,"ring":1,"at":0}}`, "extra.key", "no such extra"},
		{`{"do":"batch","edits":[{"do":"set_title","title":"New"},{"do":"set_front","front":99}]}`, "front", "from 0 to"},
	} {
		t.Run(c.edit, func(t *testing.T) {
			f := plain(12, 3)
			before := f.Clone()
			e, err := DecodeEdit([]byte(c.edit))
			if err == nil {
				_, _, err = Apply(f, e)
			}
			require.Error(t, err)
			assert.Equal(t, c.where, err.(Faults)[0].Where)
			assert.Contains(t, err.Error(), c.says)
			assert.NotContains(t, err.Error(), "[figure.")
			assert.Equal(t, before, f)
		})
	}
}

// The published closing ring (The Star, Malaysia, 14 March 2012): 8 units over 12 take 3 points each.
func TestNarrowingFromTwelveToEightTakesThreeEach(t *testing.T) {
	f := plain(12, 6)
	do(t, f, &SetCount{Rings: []RingID{6}, Units: 8})
	assert.Equal(t, []int{3, 3, 3, 3, 3, 3, 3, 3}, takes(&f.Rings[5]))
}

func TestWideningIsEvenAndMirrored(t *testing.T) {
	for _, front := range []float64{0, 0.5, 4, 7.5} {
		for _, units := range []int{13, 14, 15, 16, 17, 18, 19, 20, 24, 11, 10, 9, 7, 6} {
			f := plain(12, 4)
			f.Front = front
			_, ch := do(t, f, &SetCount{Rings: []RingID{3, 4}, Units: units})
			assert.Empty(t, ch.Remarks)
			u := Unroll(f)
			r := &f.Rings[2]
			least, most := slices.Min(takes(r)), slices.Max(takes(r))
			assert.LessOrEqual(t, most-least, 1, "front %v units %d: %v", front, units, takes(r))
			for i, c := range r.Cells {
				mirror, ok := u.UnitAt(2, 2*u.FrontTurn()-u.Middle(2, i))
				require.True(t, ok)
				assert.Equal(t, c.Takes, r.Cells[mirror].Takes, "front %v units %d: %v", front, units, takes(r))
			}
		}
	}
}

func TestPatternIsCarriedOverByAngle(t *testing.T) {
	f := plain(12, 3)
	for u := 0; u < 6; u++ { // the half from the seam on is chalk
		for r := range f.Rings {
			f.Rings[r].Cells[u].Colour = 1
		}
	}
	do(t, f, &SetCount{Rings: []RingID{1, 2, 3}, Units: 24})
	for r := range f.Rings {
		chalk := 0
		for _, c := range f.Rings[r].Cells {
			chalk += int(c.Colour)
		}
		assert.Equal(t, 12, chalk, "ring %d", r+1)
	}
}

func TestInsertingTwoRingsKeepsTheRingsAboveInPlace(t *testing.T) {
	f := plain(12, 5)
	before := Unroll(f)
	_, ch := do(t, f, &InsertRing{Above: 2, Colour: "chalk", Count: 2})
	assert.Empty(t, ch.Remarks)
	assert.Equal(t, []RingID{1, 2, 6, 7, 3, 4, 5}, f.Keys().Rings)
	u := Unroll(f)
	for was, is := range map[int]int{2: 4, 3: 5, 4: 6} {
		assert.InDelta(t, before.Middle(was, 0), u.Middle(is, 0), 1e-12)
	}
}

func TestInsertingOneRingSaysThatTheRingsAboveMoveByHalfAUnit(t *testing.T) {
	_, ch := do(t, plain(12, 5), &InsertRing{Above: 2, Colour: "chalk"})
	require.Len(t, ch.Remarks, 1)
	assert.Contains(t, ch.Remarks[0].String(), "0.5 units further round")
}

func TestRingInsertedBelowAllCarriesTheFrontAlong(t *testing.T) {
	f := plain(12, 3)
	f.Front = 4
	do(t, f, &InsertRing{Colour: "chalk"})
	u := Unroll(f)
	at, _ := u.UnitAt(1, u.FrontTurn())
	assert.Equal(t, 4, at, "the front still runs through unit 4 of the old bottom ring")
	assert.InDelta(t, u.FrontTurn(), u.Middle(1, 4), 1e-12)
}

func TestTurningARingKeepsTheRestInPlace(t *testing.T) {
	f := plain(12, 5)
	before := Unroll(f)
	do(t, f, &Turn{Rings: []RingID{3}, By: 2})
	u := Unroll(f)
	for r, by := range []float64{0, 0, 1, 0, 0} {
		assert.InDelta(t, before.Middle(r, 0)+by/12, u.Middle(r, 0), 1e-12, "ring %d", r+1)
	}
}

func TestRingWithAnExtraCannotGo(t *testing.T) {
	f := plain(12, 4)
	do(t, f, &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Ring: 3, At: 2, Diameter: 12}})
	_, _, err := Apply(f, &RemoveRings{Rings: []RingID{3}})
	assert.ErrorContains(t, err, `"eye" is attached to ring 3`)
	do(t, f, &RemoveRings{Rings: []RingID{2}})
	assert.Equal(t, 2, f.Extras[0].Ring, "the extra comes down with its ring")
}

func TestUndoOfACountKeepsLaterPaint(t *testing.T) {
	f := plain(12, 3)
	back, _ := do(t, f, &SetCount{Rings: []RingID{1, 2, 3}, Units: 24})
	do(t, f, &Paint{Runs: []PaintRun{{Ring: 2, At: 0, N: 12, Colour: "chalk"}}})
	do(t, f, back)
	require.Len(t, f.Rings[1].Cells, 12)
	chalk := 0
	for _, c := range f.Rings[1].Cells {
		chalk += int(c.Colour)
	}
	assert.Equal(t, 6, chalk)
}

func TestUndoOfAnInsertedRingThatWasPaintedIsRefused(t *testing.T) {
	f := plain(12, 3)
	back, _ := do(t, f, &InsertRing{Above: 1, Colour: "brick"})
	do(t, f, &Paint{Runs: []PaintRun{{Ring: 4, At: 0, N: 1, Colour: "chalk"}}})
	before := f.Clone()
	_, _, err := Apply(f, back)
	assert.ErrorContains(t, err, "Ring 2 has been painted since")
	assert.Equal(t, before, f)
}

// drawEdit draws an edit of any kind; it may be one that the figure refuses.
func drawEdit(t *rapid.T, f *Figure) Edit {
	ring := func() RingID { return f.Rings[rapid.IntRange(0, len(f.Rings)-1).Draw(t, "ring")].ID }
	block := func() []RingID {
		all := f.Keys().Rings
		from := rapid.IntRange(0, len(all)-1).Draw(t, "from")
		n := rapid.IntRange(1, min(4, len(all)-from)).Draw(t, "height")
		return all[from : from+n]
	}
	colour := func() string { return f.Colours[rapid.IntRange(0, len(f.Colours)-1).Draw(t, "colour")].ID }
	extra := func() ExtraState {
		e := ExtraState{Kind: Tucked, Name: "ear", Colour: colour(), Units: rapid.IntRange(1, 9).Draw(t, "n"), Ring: ring(), At: float64(rapid.IntRange(0, 8).Draw(t, "at")) / 2}
		if rapid.Bool().Draw(t, "glued") {
			e = ExtraState{Kind: Glued, Name: "eye", Ring: e.Ring, At: e.At, Diameter: 12.5}
		}
		return e
	}
	switch rapid.IntRange(0, 23).Draw(t, "kind") {
	case 0, 1:
		id := ring()
		i, _ := f.RingIndex(id)
		at := rapid.IntRange(0, len(f.Rings[i].Cells)-1).Draw(t, "at")
		return &Paint{Runs: []PaintRun{{Ring: id, At: at, N: rapid.IntRange(1, 30).Draw(t, "n"), Colour: colour(), Side: rapid.SampledFrom([]string{"", "long", "short"}).Draw(t, "side")}}}
	case 2:
		return &InsertRing{Above: rapid.SampledFrom(append(f.Keys().Rings, 0)).Draw(t, "above"), Colour: colour(), Count: rapid.IntRange(0, 3).Draw(t, "count")}
	case 3:
		return &DuplicateRings{Rings: block()}
	case 4:
		return &RemoveRings{Rings: block()}
	case 5:
		return &MoveRings{Rings: block(), Above: rapid.SampledFrom(append(f.Keys().Rings, 0)).Draw(t, "above")}
	case 6, 7:
		return &SetCount{Rings: block(), Units: rapid.IntRange(2, 40).Draw(t, "units")}
	case 8:
		return &Turn{Rings: block(), By: rapid.IntRange(-6, 6).Draw(t, "by")}
	case 9:
		i, _ := f.RingIndex(ring())
		runs := f.Runs(i)
		if k := rapid.IntRange(0, len(runs)-1).Draw(t, "run"); runs[k].Skip == 0 && i > 0 && runs[k].Takes == 2 {
			runs = slices.Insert(runs, k+1, Run{N: 1, Colour: colour(), Takes: 1})
			runs[k].N--
			if runs[k].N == 0 {
				runs[k] = Run{N: 1, Colour: colour(), Takes: 1}
			} else {
				runs = slices.Insert(runs, k+1, Run{N: 1, Colour: colour(), Takes: 1, Side: "short"})
			}
		}
		return &Reshape{Ring: f.Rings[i].ID, Runs: runs}
	case 10:
		return &AddColour{Name: rapid.SampledFrom([]string{"Sea", "灯", "Brick red"}).Draw(t, "name"), Hex: "#0b6e6e", Sign: rapid.SampledFrom([]string{"", "", "K", "S", "?"}).Draw(t, "sign")}
	case 11:
		return &RemoveColour{ID: colour(), Replace: colour()}
	case 12:
		ids := []string{}
		for _, c := range f.Colours {
			ids = append(ids, c.ID)
		}
		return &OrderColours{IDs: rapid.Permutation(ids).Draw(t, "order")}
	case 13:
		return &AddExtra{Extra: extra()}
	case 14:
		if len(f.Extras) == 0 {
			return &SetFront{Front: float64(rapid.IntRange(0, 5).Draw(t, "front")) / 2}
		}
		k := f.Extras[rapid.IntRange(0, len(f.Extras)-1).Draw(t, "extra")].ID
		if rapid.Bool().Draw(t, "remove") {
			return &RemoveExtra{Key: k}
		}
		e := extra()
		e.Key = k
		return &EditExtra{Extra: e}
	case 15:
		return &RingNote{Ring: ring(), After: "open out", Note: rapid.SampledFrom([]string{"", "x"}).Draw(t, "note")}
	case 16:
		id := ring()
		i, _ := f.RingIndex(id)
		return &Take{Ring: id, Unit: rapid.IntRange(0, len(f.Rings[i].Cells)).Draw(t, "unit"), Takes: rapid.IntRange(0, 5).Draw(t, "takes")}
	case 17:
		id := ring()
		i, _ := f.RingIndex(id)
		return &LeaveFree{Ring: id, Unit: rapid.IntRange(0, len(f.Rings[i].Cells)).Draw(t, "unit"), Points: rapid.IntRange(0, 9).Draw(t, "points")}
	case 18:
		id := ring()
		i, _ := f.RingIndex(id)
		return &LeaveOut{Ring: id, At: rapid.IntRange(0, len(f.Rings[i].Cells)-1).Draw(t, "at"), N: rapid.IntRange(1, 4).Draw(t, "n")}
	case 19:
		i, _ := f.RingIndex(ring())
		unit := rapid.IntRange(0, len(f.Rings[i].Cells)).Draw(t, "unit")
		for k, c := range f.Rings[i].Cells {
			if c.Free > 0 {
				unit = k
			}
		}
		return &FillIn{Ring: f.Rings[i].ID, Unit: unit}
	case 20:
		e := &SetCounts{}
		for _, id := range block() {
			e.Counts = append(e.Counts, RingCount{id, rapid.IntRange(2, 40).Draw(t, "units")})
		}
		return e
	case 21:
		return &SetCount{Rings: block(), Units: rapid.IntRange(3, 30).Draw(t, "units"), Top: rapid.IntRange(3, 30).Draw(t, "top")}
	case 22:
		e := &EditColour{ID: colour(), Name: rapid.SampledFrom([]string{"Sea", "Kelp"}).Draw(t, "name"), Hex: "#0b6e6f"}
		if rapid.Bool().Draw(t, "sets a sign") {
			sign := rapid.SampledFrom([]string{"", "K", "S", "?", "no"}).Draw(t, "sign")
			e.Sign = &sign
		}
		return e
	default:
		return &Batch{Edits: []Edit{&SetTitle{Title: "Other"}, &SetUnit{74, 52, Doubled}, drawEdit(t, f)}}
	}
}

// identities compares all that a maker can see and all identities; the counters may run on.
func identities(t require.TestingT, want, got *Figure) {
	w, g := want.Clone(), got.Clone()
	g.NextRing, g.NextExtra = w.NextRing, w.NextExtra
	if len(w.Extras) == 0 {
		w.Extras, g.Extras = nil, g.Extras[:len(g.Extras):len(g.Extras)]
		if len(g.Extras) == 0 {
			g.Extras = nil
		}
	}
	require.Equal(t, w, g)
}

func TestEditThenUndoIsTheIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		var versions []*Figure
		var back []Edit
		for n := rapid.IntRange(1, 12).Draw(t, "edits"); n > 0; n-- {
			before := f.Clone()
			e, err := DecodeEdit(EncodeEdit(drawEdit(t, f)))
			require.NoError(t, err)
			_ = Label(f, e).String()
			inverse, ch, err := Apply(f, e)
			if err != nil {
				require.NotEmpty(t, err.(Faults))
				require.Equal(t, before, f, "a refused edit changes nothing")
				continue
			}
			if ch.Empty() {
				identities(t, before, f)
			}
			// What the log keeps is read back from its JSON.
			inverse, err = UnpackEdit(EncodeEdit(inverse))
			require.NoError(t, err)
			versions, back = append(versions, before), append(back, inverse)
		}
		after := f.Clone()
		for i := len(back) - 1; i >= 0; i-- {
			redo, _, err := Apply(f, back[i])
			require.NoError(t, err)
			identities(t, versions[i], f)
			g := f.Clone()
			_, _, err = Apply(g, redo)
			require.NoError(t, err)
			if i == len(back)-1 {
				identities(t, after, g)
			}
		}
	})
}

func TestRandomEditsNeverUnbalanceAFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		for n := 0; n < 15; n++ {
			before := Unroll(f)
			was := f.Clone()
			_, ch, err := Apply(f, drawEdit(t, f))
			if err != nil {
				continue
			}
			require.Empty(t, f.Validate())
			requireToldRings(t, was, before, f, ch)
		}
	})
}

// requireToldRings checks that every ring whose units or places changed is named in the change.
func requireToldRings(t *rapid.T, was *Figure, before *Unrolled, f *Figure, ch Change) {
	after := Unroll(f)
	old := ringNumbers(was)
	for i := range f.Rings {
		id := f.Rings[i].ID
		k, ok := old[id]
		if ok && slices.Equal(before.arcs[k], after.arcs[i]) && slices.Equal(was.Rings[k].Cells, f.Rings[i].Cells) {
			continue
		}
		told := containsRing(ch.Rings, id) || slices.ContainsFunc(ch.Paint, func(r PaintRun) bool { return r.Ring == id })
		require.True(t, told, "ring %d changed but is not told", i+1)
	}
}

func TestKeysGoBesideTheDocument(t *testing.T) {
	f := plain(12, 3)
	do(t, f, &MoveRings{Rings: []RingID{3}, Above: 0})
	raw, err := json.Marshal(f.Keys())
	require.NoError(t, err)
	g, err := Read(f.Write())
	require.NoError(t, err)
	var k Keys
	require.NoError(t, json.Unmarshal(raw, &k))
	require.NoError(t, g.SetKeys(k))
	assert.Equal(t, []RingID{3, 1, 2}, g.Keys().Rings)
	k.Rings[0] = 1
	assert.ErrorContains(t, g.SetKeys(k), "do not fit")
}

func FuzzDecodeEdit(f *testing.F) {
	f.Add([]byte(`{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"chalk"}]}`))
	f.Add([]byte(`{"do":"batch","edits":[{"do":"turn","rings":[1,2],"by":3},{"do":"set_count","rings":[2],"units":20}]}`))
	f.Add([]byte(`{"do":"batch","edits":[{"do":"edit_colour","id":"brick","name":"Brick","hex":"#a63a2b","sign":"K"},{"do":"add_colour","name":"Soot","hex":"#2b2b2e","sign":"S"},{"do":"edit_colour","id":"soot","name":"Soot","hex":"#2b2b2e","sign":""},{"do":"remove_colour","id":"soot"}]}`))
	f.Add([]byte(`{"do":"splice","after":1,"out":[{"id":2,"start":1,"runs":[{"n":12,"colour":"brick","takes":2,"side":"long"}]}],"in":[{"id":2,"runs":[{"skip":24}]}],"front":0.5}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		e, err := DecodeEdit(raw)
		if err != nil {
			if e, err = UnpackEdit(raw); err != nil { // of the log: Splice, Become, packed strokes
				return
			}
		}
		fig := plain(12, 4)
		before := fig.Clone()
		back, _, err := Apply(fig, e)
		if err != nil {
			require.Equal(t, before, fig)
			return
		}
		require.Empty(t, fig.Validate())
		_, _, err = Apply(fig, back)
		require.NoError(t, err)
		identities(t, before, fig)
	})
}

// TestBatchIsNamedForWhatItDoes: an extra and its mirror image are one thing to the maker, so the history says it once.
func TestBatchIsNamedForWhatItDoes(t *testing.T) {
	f := plain(12, 4)
	eye := func(name string, at float64) Edit {
		return &AddExtra{Extra: ExtraState{Kind: Glued, Name: name, Diameter: 12, Ring: f.Rings[2].ID, At: at}}
	}
	label := func(edits ...Edit) string { return words.English.Say(Label(f, &Batch{Edits: edits})) }
	assert.Equal(t, "Added the extra Eye", label(eye("Eye", 2), eye("Eye", 9)))
	assert.Equal(t, "2 changes in one", label(eye("Eye", 2), eye("Nose", 0)))
}
