package store

import (
	"database/sql"
	"errors"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// trail is what one person can take back in a design and do again: revisions of own steps, the next
// one last. It follows from the log alone, so it survives a restart.
type trail struct {
	undo []int64 // steps that stand
	redo []int64 // undos that can themselves be taken back

	others int64 // the latest step of anybody else, 0 when there is none
}

// add follows a new step of the person.
func (t *trail) add(rev int64, kind Kind, target int64) {
	switch kind {
	case KindUndo:
		t.undo = without(t.undo, target)
		t.redo = append(t.redo, rev)
	case KindRedo:
		t.redo = without(t.redo, target)
		t.undo = append(t.undo, rev)
	default:
		t.undo, t.redo = append(t.undo, rev), nil
	}
}

// giveUp takes off a step that can be taken back no more, so that the one before it is next.
func (t *trail) giveUp(target int64) {
	t.undo, t.redo = without(t.undo, target), without(t.redo, target)
}

// without takes a revision, which is nearly always the last, off a list.
func without(revs []int64, rev int64) []int64 {
	for i := len(revs) - 1; i >= 0; i-- {
		if revs[i] == rev {
			return append(revs[:i], revs[i+1:]...)
		}
	}
	return revs
}

// trail finds a person's trail, from the log the first time. The design's lock is held, for writing
// when steps are in the making: those are not in the log yet.
func (w *work) trail() (*trail, error) {
	if t, known := w.d.people[w.who.ID]; known {
		return t, nil
	}
	t, err := w.s.readTrail(w.d, w.who.ID)
	if err != nil {
		return nil, err
	}
	for _, step := range w.steps {
		t.add(step.Rev, step.Kind, step.Target)
	}
	w.d.people[w.who.ID] = t
	return t, nil
}

func (s *Store) readTrail(d *design, person string) (*trail, error) {
	rows, err := s.read.Query(`SELECT rev, kind, target, 0 AS gave_up, 0 AS seq FROM steps WHERE design = ?1 AND person = ?2
		UNION ALL SELECT rev, kind, target, 1, rowid FROM refusals WHERE design = ?1 AND person = ?2 AND target > 0
		ORDER BY rev, gave_up, seq`, d.number, person)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	t := &trail{}
	for rows.Next() {
		var rev, target, seq int64
		var kind Kind
		var gaveUp bool
		if err := rows.Scan(&rev, &kind, &target, &gaveUp, &seq); err != nil {
			return nil, err
		}
		if gaveUp {
			t.giveUp(target)
			continue
		}
		t.add(rev, kind, target)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	err = s.read.QueryRow(`SELECT rev FROM steps WHERE design = ? AND person <> ? ORDER BY rev DESC LIMIT 1`, d.number, person).Scan(&t.others)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return t, err
}

// CanTakeBack says whether a person has a step to undo, and an undo to redo.
func (s *Store) CanTakeBack(n Now, person string) (undo, redo bool, err error) {
	n.design.trails.Lock()
	defer n.design.trails.Unlock()
	t, known := n.design.people[person]
	if !known {
		if t, err = s.readTrail(n.design, person); err != nil {
			return false, false, err
		}
		n.design.people[person] = t
	}
	return len(t.undo) > 0, len(t.redo) > 0, nil
}

// takeBack carries out an undo or a redo: the inverse of the person's own next step, as a new step.
func (w *work) takeBack(a Ask) (Answer, error) {
	t, err := w.trail()
	if err != nil {
		return Answer{}, err
	}
	next, none := t.undo, "store.no_undo"
	if a.Kind == KindRedo {
		next, none = t.redo, "store.no_redo"
	}
	if len(next) == 0 {
		return w.refuse(a, 0, figure.Faults{{Where: "do", What: words.T(none + ".what"), Fix: words.T(none + ".fix")}}), nil
	}
	target := next[len(next)-1]
	inverse, label, err := w.inverse(target)
	if err != nil {
		return Answer{}, err
	}
	if t.others > target { // somebody else has changed the design since
		if replacesAll(inverse) {
			return w.refuse(a, target, figure.Faults{{Where: "do", What: words.T("store.others.what"), Fix: words.T("store.others.fix")}}), nil
		}
		if inverse, err = w.asItStands(a.Kind, target, inverse); err != nil {
			return Answer{}, err
		}
	}
	return w.edit(a, inverse, took(a.Kind, label), target)
}

// replacesAll says whether an edit puts a whole figure in the place of the present one. After others' steps
// that would lose their work.
func replacesAll(e figure.Edit) bool {
	if b, several := e.(*figure.Batch); several {
		return slices.ContainsFunc(b.Edits, replacesAll)
	}
	_, whole := e.(*figure.Become)
	return whole
}

// took names the undo or redo of a step, whatever undos and redos it has behind it.
func took(kind Kind, label words.Text) words.Text {
	if label.Key == undoneKey || label.Key == redoneKey {
		label, _ = label.Args["Step"].(words.Text)
	}
	key := undoneKey
	if kind == KindRedo {
		key = redoneKey
	}
	return words.T(key, "Step", label)
}

// The names of undos and redos in the catalogue.
const (
	undoneKey = "store.did.undo"
	redoneKey = "store.did.redo"
)

// inverse finds what takes a step back, and the step's name.
func (w *work) inverse(rev int64) (figure.Edit, words.Text, error) {
	for _, step := range w.steps {
		if step.Rev == rev {
			e, err := figure.UnpackEdit(step.inverse)
			return e, step.Label, err
		}
	}
	var raw, label []byte
	err := w.s.read.QueryRow(`SELECT inverse, label FROM steps WHERE design = ? AND rev = ?`, w.d.number, rev).Scan(&raw, &label)
	if err != nil {
		return nil, words.Text{}, err
	}
	e, err1 := figure.UnpackEdit(raw)
	text, err2 := decodeText(label)
	return e, text, errors.Join(err1, err2)
}
