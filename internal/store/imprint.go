package store

import (
	"database/sql"
	"encoding/json"

	"tuckring/internal/figure"
)

// imprint is what an undo has to know of a step before it reads its edit: an undo among the steps of others goes through
// hundreds of them, nearly all of which have nothing to do with the stroke that it takes back.
type imprint struct {
	target    int64 // of an undo or redo: the step it takes back
	takesBack bool  // it is an undo or redo
	painting  bool  // its edit is a stroke, or leaves the looks of all units alone
	on        faces // on which faces it may lie
}

// faces is a set of faces that may hold more than was put in it, never less: a bit stands for every so many rings.
type faces [8]uint64

func (s *faces) add(f face) {
	bit := uint(f.ring) % 256
	if f.side {
		bit += 256
	}
	s[bit/64] |= 1 << (bit % 64)
}

// meet tells whether two sets may have a face in common.
func (s *faces) meet(other *faces) bool {
	for i := range s {
		if s[i]&other[i] != 0 {
			return true
		}
	}
	return false
}

func imprintOf(kind Kind, target int64, e figure.Edit) imprint {
	p := imprint{target: target, takesBack: kind == KindUndo || kind == KindRedo}
	runs, painting := figure.Strokes(e)
	p.painting = painting
	for _, r := range runs {
		if r.Colour != "" {
			p.on.add(face{r.Ring, false})
		}
		if r.Side != "" {
			p.on.add(face{r.Ring, true})
		}
	}
	return p
}

// imprints are those of the latest steps of a design, in order, the last of them its latest. They are kept so far back as an
// undo reads the log, and read from it where they are missing.
type imprints []imprint

func (l *imprints) add(p imprint) {
	if *l = append(*l, p); len(*l) >= 2*mostLayers {
		*l = append(imprints(nil), (*l)[len(*l)-mostLayers:]...)
	}
}

// readImprints is how many imprints are read from the log at once.
const readImprints = 250

// imprint gives that of a revision; there is none where the log has a gap.
func (w *work) imprint(rev int64) (p imprint, there bool, err error) {
	back := int(w.d.rev - rev) // steps since
	for back >= len(w.d.imprints) {
		read, err := w.readImprints(w.d.rev - int64(len(w.d.imprints)))
		if err != nil || len(read) == 0 {
			return imprint{}, false, err
		}
		w.d.imprints = append(read, w.d.imprints...)
	}
	return w.d.imprints[len(w.d.imprints)-1-back], true, nil
}

// readImprints reads those of some steps of the log that end with a revision.
func (w *work) readImprints(last int64) (read imprints, err error) {
	rows, err := w.s.read.Query(`SELECT kind, target, edit FROM steps WHERE design = ? AND rev > ? AND rev <= ? ORDER BY rev`,
		w.d.number, last-readImprints, last)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	for rows.Next() {
		var kind Kind
		var target int64
		var edit sql.RawBytes
		if err := rows.Scan(&kind, &target, &edit); err != nil {
			return nil, err
		}
		e, err := figure.UnpackEdit(edit)
		if err != nil {
			return nil, err
		}
		read = append(read, imprintOf(kind, target, e))
	}
	if int64(len(read)) != min(readImprints, last) {
		return nil, rows.Err()
	}
	return read, rows.Err()
}

// closeRows reads the edits of steps that may lie on some faces, newest first, some at once.
type closeRows struct {
	w    *work
	on   faces
	read map[int64]closeRow
}

type closeRow struct{ edit, inverse []byte }

// readAtOnce is how many edits are read from the log at once.
const readAtOnce = 64

// at gives the edit of a revision and what takes it back.
func (c *closeRows) at(rev int64) (closeRow, error) {
	if row, have := c.read[rev]; have {
		return row, nil
	}
	for i := range c.w.steps { // those in the making are not in the log yet
		if s := &c.w.steps[i]; s.Rev == rev {
			return closeRow{s.edit, s.inverse}, nil
		}
	}
	var revs []int64
	for at := rev; at >= 1 && len(revs) < readAtOnce && c.w.d.rev-at < int64(len(c.w.d.imprints)); at-- {
		if p, _, _ := c.w.imprint(at); p.painting && !p.takesBack && p.on.meet(&c.on) {
			revs = append(revs, at)
		}
	}
	list, err := json.Marshal(revs)
	if err != nil {
		return closeRow{}, err
	}
	rows, err := c.w.s.read.Query(`SELECT rev, edit, inverse FROM steps WHERE design = ? AND rev IN (SELECT value FROM json_each(?))`, c.w.d.number, string(list))
	if err != nil {
		return closeRow{}, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	c.read = make(map[int64]closeRow, len(revs))
	for rows.Next() {
		var at int64
		var row closeRow
		if err := rows.Scan(&at, &row.edit, &row.inverse); err != nil {
			return closeRow{}, err
		}
		c.read[at] = row
	}
	row, have := c.read[rev]
	if err := rows.Err(); err != nil || have {
		return row, err
	}
	return closeRow{}, sql.ErrNoRows
}
