package store

import (
	"slices"

	"tuckring/internal/figure"
)

// Undo where people have painted over each other. Mira paints a unit, Jon paints over it, Mira takes her
// stroke back: that shows nowhere, since Jon's paper lies on it. When Jon takes his back too, the unit must
// not look as Mira had painted it, although it did when Jon came. So where others have made steps in
// between, an undo or redo of a stroke puts each of its units as the strokes that stand leave it, in the order in
// which they were made. The log is read backwards for that, no further than needed.
//
// A stroke's plain inverse, which changes only what still looks as the stroke left it, has to do where units
// may have become others in between (a count changed, a version was brought back), and where the log would
// have to be read too far, since everybody waits meanwhile.

// How far back an undo reads the log.
const (
	mostLayers     = 1000    // steps
	mostLayerBytes = 2 << 20 // of their edits and what takes them back
)

// face is what painting changes of a ring: its units' colours, or their sides.
type face struct {
	ring figure.RingID
	side bool
}

// coat is one unit's colour or side, in search of what it should be.
type coat struct {
	sought bool   // by the undo, and no stroke that stands has been found to lie on it yet
	look   string // as the strokes read so far say; "" while none does
}

// layers reads the log backwards. A step is known to stand, or not, once it is reached, since what takes it
// back came later.
type layers struct {
	coats map[face][]coat
	on    faces          // where the coats are
	left  int            // coats still sought
	taken map[int64]bool // steps that a later one that stands takes back
	ahead map[int64]bool // steps that a later one takes back, not reached yet
	steps int            // read so far
	bytes int
}

// asItStands gives what to do in place of inverse, the plain inverse of a step, for an undo or redo of it.
func (w *work) asItStands(kind Kind, target int64, inverse figure.Edit) (figure.Edit, error) {
	if _, painting := figure.Strokes(inverse); !painting {
		return inverse, nil
	}
	root, raw, err := w.root(target)
	if err != nil {
		return nil, err
	}
	if w.d.rev-root >= mostLayers {
		return inverse, nil
	}
	stroke, err := figure.UnpackEdit(raw)
	if err != nil {
		return nil, err
	}
	runs, painting := figure.Strokes(stroke)
	if !painting || len(runs) == 0 {
		return inverse, nil
	}
	l := layers{coats: map[face][]coat{}, taken: map[int64]bool{target: true}, ahead: map[int64]bool{target: true}}
	for _, r := range runs {
		l.seek(w.d.figure, r, kind == KindUndo)
	}
	found, err := w.read(&l, root)
	if err != nil || !found {
		return inverse, err
	}
	return l.repaint(w.d.figure, runs), nil
}

// root finds the step that an undo or redo is about in the end, and its edit.
func (w *work) root(rev int64) (root int64, edit []byte, err error) {
	for i := len(w.steps) - 1; i >= 0; i-- {
		switch step := &w.steps[i]; {
		case step.Rev != rev:
		case step.Kind == KindUndo || step.Kind == KindRedo:
			rev = step.Target
		default:
			return rev, step.edit, nil
		}
	}
	err = w.s.read.QueryRow(`WITH RECURSIVE chain (rev) AS (VALUES (?2)
			UNION ALL SELECT target FROM chain c JOIN steps s ON s.design = ?1 AND s.rev = c.rev WHERE kind IN ('undo', 'redo'))
		SELECT rev, edit FROM steps WHERE design = ?1 AND rev = (SELECT min(rev) FROM chain)`, w.d.number, rev).Scan(&root, &edit)
	return root, edit, err
}

// seek puts the units of a run on the list; of a stroke to be taken back only those that look as it left them.
func (l *layers) seek(f *figure.Figure, r figure.PaintRun, unchanged bool) {
	ring, there := f.RingIndex(r.Ring)
	if !there {
		return
	}
	cells := f.Rings[ring].Cells
	for _, p := range parts(r) {
		coats := l.coats[p.face]
		if coats == nil {
			coats = make([]coat, len(cells))
			l.coats[p.face] = coats
			l.on.add(p.face)
		}
		for u := r.At; u < min(r.At+r.N, len(cells)); u++ {
			if !coats[u].sought && (!unchanged || lookOf(f, cells[u], p.side) == p.look) {
				coats[u].sought = true
				l.left++
			}
		}
	}
}

// part is what a run says of one face.
type part struct {
	face
	look string
}

// parts takes a run's colour and side apart.
func parts(r figure.PaintRun) []part {
	var out []part
	if r.Colour != "" {
		out = append(out, part{face{r.Ring, false}, r.Colour})
	}
	if r.Side != "" {
		out = append(out, part{face{r.Ring, true}, r.Side})
	}
	return out
}

// lookOf is a unit's colour or, with side, the side that faces outwards.
func lookOf(f *figure.Figure, c figure.Cell, side bool) string {
	if side {
		return c.Side.String()
	}
	return f.Colours[c.Colour].ID
}

// read goes through the steps, newest first, until every coat is found; of the log it reads only strokes that may lie on
// what is sought. found is false where the plain inverse has to do.
func (w *work) read(l *layers, root int64) (found bool, err error) {
	rows := &closeRows{w: w, on: l.on}
	for rev := w.d.rev; rev >= 1; rev-- {
		p, there, err := w.imprint(rev)
		if err != nil || !there {
			return false, err
		}
		if done, found, err := l.step(rev, p, rows, root); done || err != nil {
			return found, err
		}
	}
	return true, nil
}

// step goes through one step. It is done when every coat is found, or when the figure before this step stands
// unchanged below everything since; found is false when the search fails.
func (l *layers) step(rev int64, p imprint, rows *closeRows, root int64) (done, found bool, err error) {
	if !p.painting {
		return true, false, nil
	}
	l.steps++
	stands := !l.taken[rev]
	delete(l.ahead, rev)
	switch {
	case p.takesBack:
		l.ahead[p.target] = true
		if stands {
			l.taken[p.target] = true
		}
	case p.on.meet(&l.on):
		err = l.stroke(rev, stands, rows)
	}
	tired := l.steps >= mostLayers || l.bytes >= mostLayerBytes
	done = l.left == 0 || tired || rev <= root && len(l.ahead) == 0
	return done, l.left == 0 || rev <= root, err
}

// stroke notes what a stroke says of the coats still sought.
func (l *layers) stroke(rev int64, stands bool, rows *closeRows) error {
	row, err := rows.at(rev)
	if err != nil {
		return err
	}
	l.bytes += len(row.edit) + len(row.inverse)
	e, err := figure.UnpackEdit(row.edit)
	if err != nil {
		return err
	}
	runs, _ := figure.Strokes(e)
	if !stands {
		return l.lookBelow(runs, row.inverse)
	}
	l.visit(runs, func(c *coat, look string) {
		c.sought, c.look = false, look
		l.left--
	})
	return nil
}

// lookBelow notes how the units of a stroke that does not stand looked before it.
func (l *layers) lookBelow(runs []figure.PaintRun, inverse []byte) error {
	note := func(c *coat, look string) { c.look = look }
	if !l.visit(runs, note) { // those that it did not change looked alike before
		return nil
	}
	before, err := figure.UnpackEdit(inverse)
	if err != nil {
		return err
	}
	runs, _ = figure.Strokes(before)
	// An inverse goes backwards, and visit backwards again: what was painted first has to be noted last.
	slices.Reverse(runs)
	l.visit(runs, note)
	return nil
}

// visit shows the coats still sought on which runs lie, those of the last run first; it says whether there
// were any.
func (l *layers) visit(runs []figure.PaintRun, see func(c *coat, look string)) (any bool) {
	for i := len(runs) - 1; i >= 0; i-- {
		r := runs[i]
		for _, p := range parts(r) {
			coats := l.coats[p.face]
			for u := r.At; u < min(r.At+r.N, len(coats)); u++ {
				if coats[u].sought {
					see(&coats[u], p.look)
					any = true
				}
			}
		}
	}
	return any
}

// repaint paints the units of a stroke that do not look as was found.
func (l *layers) repaint(f *figure.Figure, runs []figure.PaintRun) *figure.Paint {
	p := &figure.Paint{}
	for _, r := range runs {
		ring, there := f.RingIndex(r.Ring)
		if !there {
			continue
		}
		for _, part := range parts(r) {
			coats := l.coats[part.face]
			for u := r.At; u < min(r.At+r.N, len(coats)); u++ {
				if look := coats[u].look; look != "" && look != lookOf(f, f.Rings[ring].Cells[u], part.side) {
					p.Runs = lengthen(p.Runs, part.face, u, look)
				}
				coats[u].look = "" // painted twice in one stroke, it is put once
			}
		}
	}
	return p
}

// lengthen adds a unit to the last run where it goes on, or else a new run.
func lengthen(runs []figure.PaintRun, on face, unit int, look string) []figure.PaintRun {
	next := figure.PaintRun{Ring: on.ring, At: unit, N: 1, Colour: look}
	if on.side {
		next.Colour, next.Side = "", look
	}
	if n := len(runs); n > 0 {
		last := &runs[n-1]
		if last.Ring == next.Ring && last.Colour == next.Colour && last.Side == next.Side && last.At+last.N == unit {
			last.N++
			return runs
		}
	}
	return append(runs, next)
}
