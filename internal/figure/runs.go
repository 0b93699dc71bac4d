package figure

import (
	"strconv"

	"tuckring/internal/words"
)

// The grammar of runs, which documents and edits share: a ring is a list of runs from its seam to the right, a run so
// many units alike, or so many points left free.

// Run is a stretch of a ring: N units of one colour, takes and side, or Skip points left free. Its
// JSON form is that of the document, with defaults written out only where they differ.
type Run struct {
	N      int    `json:"n,omitempty"`
	Colour string `json:"colour,omitempty"`
	Takes  int    `json:"takes,omitempty"`
	Side   string `json:"side,omitempty" oneof:"long,short"`
	Skip   int    `json:"skip,omitempty"`
}

// Runs gives ring index (0-based) as runs, alike neighbours merged. Takes is 0 in ring 1, 1–4
// above; Side is always given.
func (f *Figure) Runs(index int) []Run { return f.runs(&f.Rings[index]) }

func (f *Figure) runs(ring *Ring) []Run {
	var out []Run
	for i, c := range ring.Cells {
		if c.Free > 0 {
			out = append(out, Run{Skip: int(c.Free)})
		}
		if i > 0 && c.Free == 0 {
			if p := ring.Cells[i-1]; p.Colour == c.Colour && p.Takes == c.Takes && p.Side == c.Side {
				out[len(out)-1].N++
				continue
			}
		}
		out = append(out, Run{N: 1, Colour: f.Colours[c.Colour].ID, Takes: int(c.Takes), Side: c.Side.String()})
	}
	if ring.FreeEnd > 0 {
		out = append(out, Run{Skip: ring.FreeEnd})
	}
	return out
}

// runLayer lays runs upon a footing, one after another.
type runLayer struct {
	ring   *Ring
	foot   Footing
	number int // of the ring in the list, from 1, for faults
	free   int // points left free since the last unit
}

// cell is a unit as a run has it that says nothing of takes and side.
func (l *runLayer) cell() Cell {
	if l.foot.OnTable() {
		return Cell{}
	}
	return Cell{Takes: PlainTakes}
}

// skip leaves points free; it is not ok when there are more in a row than any ring offers.
func (l *runLayer) skip(points int) (ok bool) {
	if points > 2*MaxUnits-l.free {
		return false
	}
	l.free += points
	return true
}

// units lays units alike; it is not ok, and lays none, when there are more than a ring may have.
func (l *runLayer) units(c Cell, n int) (ok bool) {
	if n > MaxUnits-len(l.ring.Cells) {
		return false
	}
	c.Free = uint16(l.free)
	for range n {
		l.ring.Cells = append(l.ring.Cells, c)
		c.Free = 0
	}
	l.free = 0
	return true
}

// end leaves free at the end of the ring what was left free last.
func (l *runLayer) end() { l.ring.FreeEnd = l.free }

func skipFault(found int) (what, fix words.Text) {
	return words.T("figure.number", "Found", strconv.Itoa(found)), words.T("figure.whole.fix", "Low", "1", "High", strconv.Itoa(2*MaxUnits))
}

// ring turns the state of an edit into a ring on a footing. Whether its points balance there is for settle to say.
func (f *Figure) ring(s RingState, foot Footing) (Ring, error) {
	r := Ring{ID: s.ID, Start: s.Start, After: s.After, Note: s.Note}
	for _, t := range []string{s.After, s.Note} {
		if what, fix, bad := TextFault(t, MaxNote, false); bad {
			return r, refuse("note", what, fix)
		}
	}
	l := &runLayer{ring: &r, foot: foot}
	for i, run := range s.Runs {
		at := "runs[" + strconv.Itoa(i) + "]"
		if run.Skip != 0 {
			if run.Skip < 0 || run.N != 0 || foot.OnTable() || !l.skip(run.Skip) {
				what, fix := skipFault(run.Skip)
				return r, refuse(at+".skip", what, fix)
			}
			continue
		}
		c, err := f.runCell(run, at, l)
		if err != nil {
			return r, err
		}
		if run.N < 1 || !l.units(c, run.N) {
			return r, wholeFault(at+".n", run.N, 1, MaxUnits)
		}
	}
	l.end()
	return r, nil
}

func (f *Figure) runCell(run Run, at string, l *runLayer) (Cell, error) {
	c := l.cell()
	i, ok := f.ColourIndex(run.Colour)
	if !ok {
		return c, refuse(at+".colour", words.T("figure.no_colour", "ID", clip(run.Colour)), words.T("figure.no_colour.fix"))
	}
	c.Colour = uint8(i)
	if !l.foot.OnTable() && run.Takes != 0 {
		if run.Takes < MinTakes || run.Takes > MaxTakes {
			return c, wholeFault(at+".takes", run.Takes, MinTakes, MaxTakes)
		}
		c.Takes = uint8(run.Takes)
	}
	side, ok := sideIndex(run.Side)
	if !ok {
		return c, refuse(at+".side", words.T("figure.choice", "Found", clip(run.Side)), words.T("figure.choice.fix", "Allowed", "long, short"))
	}
	c.Side = Side(max(side, 0))
	return c, nil
}

// runs reads the runs of a document's ring; it is not ok when its units cannot be counted.
func (r *reader) runs(ring *Ring, n *node, foot Footing, number int) bool {
	items := r.list(n)
	ok := n.kind == isList
	l := &runLayer{ring: ring, foot: foot, number: number}
	for _, item := range items {
		if item.kind == isObject && item.get("skip") != nil {
			ok = r.skip(item, l) && ok
			continue
		}
		cell, count, fine := r.run(item, l)
		if !fine {
			ok = false
			continue
		}
		if !l.units(cell, count) {
			r.badRing(number, n.where, words.T("figure.ring.units", "Count", len(ring.Cells)+count), words.T("figure.ring.units.fix", "Min", MinUnits, "Max", MaxUnits))
			return false
		}
	}
	l.end()
	return ok
}

func (r *reader) skip(n *node, l *runLayer) (ok bool) {
	if l.foot.OnTable() {
		r.badRing(l.number, n.where, words.T("figure.ring1.skip"), words.T("figure.ring1.fix"))
		return false
	}
	if !r.object(n, "skip", "") {
		return false
	}
	points, ok := r.whole(n.get("skip"), 1, 2*MaxUnits)
	if ok && !l.skip(points) {
		what, fix := skipFault(l.free + points)
		r.badRing(l.number, n.get("skip").where, what, fix)
		return false
	}
	return ok
}

func (r *reader) run(n *node, l *runLayer) (c Cell, count int, ok bool) {
	c = l.cell()
	if n.kind != isObject {
		r.object(n, "", "")
		return c, 0, false
	}
	optional := "takes side"
	if l.foot.OnTable() {
		if n.get("takes") != nil {
			r.badRing(l.number, join(n.where, "takes"), words.T("figure.ring1.takes"), words.T("figure.ring1.fix"))
			return c, 0, false
		}
		optional = "side"
	}
	ok = r.object(n, "n colour", optional)
	if v := n.get("n"); v != nil {
		units, fine := r.whole(v, 1, MaxUnits)
		count, ok = units, ok && fine
	}
	if v := n.get("colour"); v != nil {
		colour, fine := r.colourIndex(v)
		c.Colour, ok = uint8(colour), ok && (fine || count > 0)
	}
	if v := n.get("takes"); v != nil {
		takes, fine := r.whole(v, MinTakes, MaxTakes)
		c.Takes, ok = uint8(takes), ok && fine
	}
	if v := n.get("side"); v != nil && r.choice(v, Long.String(), Short.String()) == Short.String() {
		c.Side = Short
	}
	return c, count, ok
}
