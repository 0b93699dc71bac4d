package wire

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
)

// CellLetters stand for the colours in a ring's cells, by their place in the palette.
const CellLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"

// UnitPaper is the paper that units are folded from, in mm, and their fold.
type UnitPaper struct {
	LongMM  float64     `json:"long_mm"`
	ShortMM float64     `json:"short_mm"`
	Fold    figure.Fold `json:"fold"`
}

// Colour is a paper of the figure.
type Colour struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Hex  string `json:"hex"`
	Sign string `json:"sign"`
	Own  bool   `json:"own_sign,omitempty"` // the sign was chosen and did not come by itself
}

// Ring is a ring: cells, takes and sides have one character a unit. What is plain is left out.
type Ring struct {
	ID    figure.RingID `json:"id"`
	Start int           `json:"start,omitempty"`
	Cells string        `json:"cells"`
	Takes string        `json:"takes,omitempty"` // left out when every unit takes two points
	Sides string        `json:"sides,omitempty"` // L and S; left out when every long side faces outwards
	Free  [][2]int      `json:"free,omitempty"`  // [unit, points left free before it]; unit n is after the last
	From  *float64      `json:"from,omitempty"`  // left edge of unit 0 in turns, when all units are equally wide
	Edges []int         `json:"edges,omitempty"` // otherwise: see edgesOf
	Open  bool          `json:"open,omitempty"`  // its units stand in a line: the last is no neighbour of the first
	After string        `json:"after,omitempty"`
	Note  string        `json:"note,omitempty"`
}

// Part is a part of a figure of several: its rows follow those of the part before in the list of rings. A twin's rows have the
// identities of those they mirror, negative.
type Part struct {
	ID    figure.PartID   `json:"id"`
	Name  string          `json:"name"`
	Rows  int             `json:"rows"`
	Open  bool            `json:"open,omitempty"`
	On    figure.RingID   `json:"on,omitempty"`  // the row it grows from
	Set   *figure.Setting `json:"set,omitempty"` // or what it is set on
	Twin  figure.PartID   `json:"twin,omitempty"`
	Front float64         `json:"front"`      // a place around its first row, of a part that closes
	Turn  float64         `json:"front_turn"` // the same in turns, or the middle of an open part
	Bend  []figure.Bend   `json:"bend,omitempty"`
}

// PartsOf are the parts of a figure of several.
func PartsOf(f *figure.Figure, u *figure.Unrolled) []Part {
	out := make([]Part, len(f.Parts))
	for i := range f.Parts {
		p := f.Parts[i].Clone()
		out[i] = Part{ID: p.ID, Name: p.Name, Rows: p.Rows, Open: p.Open, On: p.Grows, Set: p.Set, Twin: p.Twin, Front: p.Front, Turn: roundTurn(u.PartFront(i)), Bend: p.Bend}
		if i == 0 {
			out[i].Front = f.Front
		}
	}
	return out
}

// Extra is an extra of the figure: it has a key, which one that is yet to be added has not.
type Extra struct {
	Key figure.ExtraID `json:"key"`
	figure.ExtraState
}

// State is a whole figure at a revision, with what the person who asks may do.
type State struct {
	Rev       int64         `json:"rev"`
	Title     string        `json:"title"`
	Unit      UnitPaper     `json:"unit"`
	Front     float64       `json:"front"`
	FrontTurn float64       `json:"front_turn"`
	Colours   []Colour      `json:"colours"`
	Rings     []Ring        `json:"rings"` // bottom first, part after part
	Parts     []Part        `json:"parts"` // none in a figure of one
	Extras    []Extra       `json:"extras"`
	Looks     []Look        `json:"looks"`
	Totals    report.Totals `json:"totals"`
	Power     store.Power   `json:"power"`
	History   History       `json:"history"`
}

// StateOf is a figure as it stands now. Power and History are for the caller to fill in.
func StateOf(n store.Now, totals report.Totals) State {
	f := n.Figure
	u := figure.Unroll(f)
	state := State{
		Rev: n.Rev, Title: f.Title, Unit: UnitPaper{f.Unit.LongMM, f.Unit.ShortMM, f.Unit.Fold},
		Front: f.Front, FrontTurn: roundTurn(u.FrontTurn()),
		Colours: ColoursOf(f), Rings: make([]Ring, len(f.Rings)), Parts: PartsOf(f, u), Extras: extrasOf(f), Looks: looksOf(f), Totals: totals,
	}
	for i := range f.Rings {
		state.Rings[i] = RingOf(f, u, i)
	}
	return state
}

// History says what the person who asks can take back.
type History struct {
	CanUndo bool `json:"can_undo"`
	CanRedo bool `json:"can_redo"`
}

// PaintedRun is a stretch of a ring that now looks alike.
type PaintedRun struct {
	Ring   figure.RingID `json:"ring"`
	At     int           `json:"at"`
	N      int           `json:"n"`
	Colour *int          `json:"colour,omitempty"` // place in the palette
	Side   string        `json:"side,omitempty" oneof:"long,short"`
}

// Change is what a step changed; any part may be absent.
type Change struct {
	Paint     []PaintedRun    `json:"paint,omitempty"`
	Rings     []Ring          `json:"rings,omitempty"`
	Order     []figure.RingID `json:"order,omitempty"`
	Parts     *[]Part         `json:"parts,omitempty"` // all of them, when one may be otherwise now
	Colours   []Colour        `json:"colours,omitempty"`
	Extras    *[]Extra        `json:"extras,omitempty"`
	Looks     *[]Look         `json:"looks,omitempty"` // of all extras, when one may look otherwise now
	Front     *float64        `json:"front,omitempty"`
	FrontTurn *float64        `json:"front_turn,omitempty"`
	Title     *string         `json:"title,omitempty"`
	Unit      *UnitPaper      `json:"unit,omitempty"`
}

// ColoursOf are the papers of a figure with their signs.
func ColoursOf(f *figure.Figure) []Colour {
	signs := f.Signs()
	out := make([]Colour, len(f.Colours))
	for i, c := range f.Colours {
		out[i] = Colour{ID: c.ID, Name: c.Name, Hex: c.Hex, Sign: signs[i], Own: c.Sign != ""}
	}
	return out
}

func extrasOf(f *figure.Figure) []Extra {
	out := make([]Extra, len(f.Extras))
	for i := range f.Extras {
		out[i] = Extra{Key: f.Extras[i].ID, ExtraState: f.ExtraState(&f.Extras[i])}
	}
	return out
}

// RingOf is a ring, counted from 0.
func RingOf(f *figure.Figure, u *figure.Unrolled, ring int) Ring {
	r := &f.Rings[ring]
	w := Ring{ID: r.ID, Start: r.Start, Open: f.Open(ring), After: r.After, Note: r.Note}
	cells, takes, sides := make([]byte, len(r.Cells)), make([]byte, len(r.Cells)), make([]byte, len(r.Cells))
	plain, long := true, true
	for i, c := range r.Cells {
		cells[i], takes[i], sides[i] = CellLetters[c.Colour], '0'+c.Takes, 'L'
		if c.Side == figure.Short {
			sides[i], long = 'S', false
		}
		plain = plain && c.Takes == figure.PlainTakes
		if c.Free > 0 {
			w.Free = append(w.Free, [2]int{i, int(c.Free)})
		}
	}
	if r.FreeEnd > 0 {
		w.Free = append(w.Free, [2]int{len(r.Cells), r.FreeEnd})
	}
	w.Cells = string(cells)
	if !plain && !f.Footing(ring).OnTable() {
		w.Takes = string(takes)
	}
	if !long {
		w.Sides = string(sides)
	}
	if u.Even(ring) {
		from, _ := u.Arc(ring, 0)
		from = roundTurn(from)
		w.From = &from
		return w
	}
	w.Edges = edgesOf(u, ring, len(r.Cells), w.Free == nil && !w.Open)
	return w
}

// edgesOf tells where the units of a ring stand, in EdgesInTurn parts of a turn, rounded: the left edge of unit 0, then how wide
// each unit is, and where the ring has openings between any two of them how far it is from one to the next. Rounded edges add
// up, so nothing wanders.
func edgesOf(u *figure.Unrolled, ring, n int, closed bool) []int {
	part := func(turn float64) int { return int(math.Round(turn * EdgesInTurn)) }
	out := make([]int, 0, 2*n)
	at := 0
	for i := range n {
		from, to := u.Arc(ring, i)
		if i == 0 || !closed {
			out = append(out, part(from)-at)
			at = part(from)
		}
		out = append(out, part(to)-at)
		at = part(to)
	}
	return out
}

// EdgesInTurn is how finely edges are told: to a hundredth of a unit in the widest ring.
const EdgesInTurn = 100_000

// roundTurn rounds a place around the circle as finely as edges are.
func roundTurn(t float64) float64 { return math.Round(t*EdgesInTurn) / EdgesInTurn }

// ChangeOf is what a step changed, from the figure as it is after the step.
func ChangeOf(f *figure.Figure, ch figure.Change) Change {
	w := Change{}
	whole := map[figure.RingID]bool{}
	if len(ch.Rings) > 0 || ch.Front || ch.Parts || ch.Order {
		u := figure.Unroll(f)
		if ch.Parts || len(f.Parts) > 0 {
			parts := PartsOf(f, u)
			w.Parts = &parts
		}
		changed := map[figure.RingID]bool{}
		for _, id := range ch.Rings {
			changed[id] = true
		}
		for i := range f.Rings {
			id := f.Rings[i].ID
			if changed[id] || id < 0 { // where twins stand and what they show follows from others
				whole[id] = true
				w.Rings = append(w.Rings, RingOf(f, u, i))
			}
		}
		front, turn := f.Front, roundTurn(u.FrontTurn())
		w.Front, w.FrontTurn = &front, &turn
	}
	if ch.Order || ch.Parts { // the rows of a twin come and go with it
		w.Order = make([]figure.RingID, len(f.Rings))
		for i := range f.Rings {
			w.Order[i] = f.Rings[i].ID
		}
	}
	if ch.Colours {
		w.Colours = ColoursOf(f)
	}
	if ch.Extras {
		extras := extrasOf(f)
		w.Extras = &extras
	}
	if ch.Extras || (len(f.Extras) > 0 && (ch.Order || ch.Parts || ch.Unit || ch.Front || len(ch.Rings) > 0)) {
		looks := looksOf(f)
		w.Looks = &looks
	}
	if ch.Title {
		w.Title = &f.Title
	}
	if ch.Unit {
		w.Unit = &UnitPaper{f.Unit.LongMM, f.Unit.ShortMM, f.Unit.Fold}
	}
	for _, run := range ch.Paint {
		if !whole[run.Ring] {
			w.Paint = append(w.Paint, runsNow(f, run)...)
		}
	}
	return w
}

// runsNow is what a painted stretch looks like now. Later parts of the same step may have painted over it
// or taken its ring away.
func runsNow(f *figure.Figure, run figure.PaintRun) []PaintedRun {
	i, there := f.RingIndex(run.Ring)
	if !there {
		return nil
	}
	cells := f.Rings[i].Cells
	var out []PaintedRun
	for at := run.At; at < min(run.At+run.N, len(cells)); at++ {
		if at > run.At && cells[at].Colour == cells[at-1].Colour && cells[at].Side == cells[at-1].Side {
			out[len(out)-1].N++
			continue
		}
		r := PaintedRun{Ring: run.Ring, At: at, N: 1}
		if run.Colour != "" {
			colour := int(cells[at].Colour)
			r.Colour = &colour
		}
		if run.Side != "" {
			r.Side = cells[at].Side.String()
		}
		out = append(out, r)
	}
	return out
}

// OnShelf is a figure of the maker's shelf, for another one to take as a part.
type OnShelf struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// Rings are the rings of the part of a figure that stands on the table, and what its colours are.
type Rings struct {
	Title   string             `json:"title"`
	Front   float64            `json:"front"`
	Colours []Colour           `json:"colours"`
	Rings   []figure.RingState `json:"rings"`
}

// RingsOf are those of a figure.
func RingsOf(f *figure.Figure) Rings {
	return Rings{Title: f.Title, Front: f.Front, Colours: ColoursOf(f), Rings: f.StandingRings()}
}
