package store

import (
	"context"
	"database/sql"
	"errors"
	"math"
	"strings"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Kind is what a step is.
type Kind string

// The kinds of steps. An undo takes back a person's own latest step that still stands, a redo takes back
// that person's latest undo, a restore brings back the figure of an earlier revision. All three are steps
// of their own: nothing is ever removed from the log.
const (
	KindEdit    Kind = "edit"
	KindUndo    Kind = "undo"
	KindRedo    Kind = "redo"
	KindRestore Kind = "restore"
)

// Person is whoever makes a step.
type Person struct {
	ID   string
	Name string // as others see it; may be empty
}

// Ask is a step asked for by a person's client. Seq numbers these asks 1, 2, 3, … in each design, so that
// an ask sent twice is done once. Two people's clients are two, even of one name.
type Ask struct {
	Seq    int64
	Kind   Kind
	Edit   figure.Edit   // of an edit
	Rev    int64         // of a restore: the revision to go back to
	Faults figure.Faults // when not empty the ask could not be understood, and is answered with these
}

// Answer says what became of an ask. With Faults it was refused. Without them the figure at Rev has
// it; Rev is a step of its own unless there was nothing to change.
type Answer struct {
	Seq     int64
	Rev     int64
	Faults  figure.Faults
	Nothing bool         // it changed nothing, and is no step
	Remarks []words.Text // what the maker should know; not told again when an ask is repeated
	Work    int          // what it took (see figure.Work); 0 when an ask is repeated
	Written int          // bytes of the step and of what takes it back, as they are kept; 0 when an ask is repeated
}

// Step is an entry of the log.
type Step struct {
	Rev    int64
	Person Person
	Client string
	Seq    int64
	Kind   Kind
	Target int64 // undo, redo: revision of the step taken back; restore: revision gone back to
	Label  words.Text
	At     time.Time
	Undone bool // taken back, and not done again; only History fills it in

	Change figure.Change // only for a Watch
}

// Watch is told of every step under the design's lock, in the order of revisions: first, when the design
// stands as after the step, to look at it; then, once the step is on the disk, the function that it
// returned is called. The figure must not be changed nor kept.
type Watch func(n Now, step Step) (stored func())

// SetWatch tells w of every step. It must be called before the first step.
func (s *Store) SetWatch(w Watch) { s.watch = w }

// page is an open page of a person. Two people's pages are two, even of one client.
type page struct{ person, client string }

// work is the steps of one transaction in the making.
type work struct {
	s       *Store
	d       *design
	who     Person
	page    page
	at      time.Time
	answers []Answer
	steps   []loggedStep
	refused []refusal
	stored  []func()
	title   bool
	moved   growth
}

// loggedStep is a row of the log.
type loggedStep struct {
	Step
	edit, inverse []byte
}

// refusal is a row of the steps that were answered without changing anything.
type refusal struct {
	rev, seq int64
	kind     Kind
	target   int64
	faults   figure.Faults
}

// Apply carries out what a client asks, in order, and answers when it is on the disk. Where the asks are more work
// than one request may do, only the first of them are answered; the rest is to be asked for again. An ask that
// was answered before gets the same answer again. The error is an *Error of code NotFound when there is
// no such design, of code Conflict, with the number Expected, when the numbers do not follow on; then
// nothing was done.
func (s *Store) Apply(ctx context.Context, id string, who Person, client string, asks []Ask) ([]Answer, error) {
	for {
		answers, err := s.apply(ctx, id, who, client, asks)
		if !errors.Is(err, errDropped) {
			return answers, err
		}
	}
}

func (s *Store) apply(ctx context.Context, id string, who Person, client string, asks []Ask) ([]Answer, error) {
	d, err := s.take(ctx, id)
	if err != nil {
		return nil, err
	}
	defer s.leave(d)
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.figure == nil {
		return nil, d.broken
	}
	at := page{who.ID, client}
	last, err := s.lastSeq(d, at)
	if err != nil {
		return nil, err
	}
	if err := inOrder(asks, last); err != nil {
		return nil, err
	}
	stored := false
	defer func() {
		if !stored { // the figure in memory may be ahead of the file: the next asker loads it anew
			s.forget(d)
			d.figure, d.broken = nil, errDropped
		}
	}()
	w := &work{s: s, d: d, who: who, page: at, at: s.now()}
	if err := w.carryOut(ctx, asks, last); err != nil {
		return nil, err
	}
	if err := w.store(); err != nil {
		return nil, err
	}
	stored = true
	if len(w.steps)+len(w.refused) > 0 {
		d.last[at] = w.answers[len(w.answers)-1].Seq
	}
	for _, tell := range w.stored {
		tell()
	}
	return w.answers, nil
}

// lastSeq is the number of a client's last answered ask, 0 when there is none.
func (s *Store) lastSeq(d *design, p page) (last int64, err error) {
	if last, known := d.last[p]; known {
		return last, nil
	}
	err = s.read.QueryRow(`SELECT max(
			coalesce((SELECT max(seq) FROM steps WHERE design = ?1 AND person = ?2 AND client = ?3), 0),
			coalesce((SELECT max(seq) FROM refusals WHERE design = ?1 AND person = ?2 AND client = ?3), 0))`,
		d.number, p.person, p.client).Scan(&last)
	if err == nil {
		d.last[p] = last
	}
	return last, err
}

// inOrder checks that asks are numbered one after the other and leave no gap after the last answered.
func inOrder(asks []Ask, last int64) error {
	next := last + 1
	if len(asks) > 0 && asks[0].Seq < next {
		next = max(asks[0].Seq, 1)
	}
	for _, a := range asks {
		if a.Seq != next {
			e := refuse(Conflict, "store.seq", "Found", a.Seq, "Expected", next)
			e.Expected = next
			return e
		}
		next++
	}
	return nil
}

// maxWork is how much one request may do (see figure.Work): thirty changes of the largest figure, thousands of a
// usual one. So a figure is held for about a second, and memory stays bounded, whatever is sent.
const maxWork = 3_000_000

// batchWork is how much one step of several edits may do in the end, when those before have made the figure larger than
// it was as its work was estimated: room for one that makes it four times as large.
const batchWork = 4 * maxWork

// tooHeavy is the refusal of a step that would do more than a request may.
func tooHeavy() figure.Faults {
	return figure.Faults{{Where: "edits", What: words.T("store.heavy"), Fix: words.T("store.heavy.fix")}}
}

// Try carries out an edit on a figure that nobody else has, within what one step may do, and tells the work that it
// was estimated to take. Its error is figure.Faults when the figure refuses the edit or it would do too much, and ctx's
// when ctx ends before it is done.
func Try(ctx context.Context, f *figure.Figure, e figure.Edit) (change figure.Change, took int, err error) {
	took = figure.Work(f, e)
	if took > maxWork {
		return figure.Change{}, 0, tooHeavy()
	}
	_, change, err = figure.ApplyWithin(ctx, f, e, batchWork)
	if errors.Is(err, figure.ErrTooMuch) {
		return figure.Change{}, batchWork, tooHeavy()
	}
	return change, took, err
}

// carryOut answers the asks, changing the figure in memory: all of them, or as many as a request may do. It stops
// after one of them when nobody waits for the answer any more.
func (w *work) carryOut(ctx context.Context, asks []Ask, last int64) error {
	done := 0
	for _, a := range asks {
		if done > 0 && ctx.Err() != nil {
			return nil // nobody waits for the answer; what was done so far stands
		}
		var answer Answer
		var err error
		if a.Seq <= last {
			answer, err = w.s.again(w.d, w.page, a.Seq)
		} else {
			more := w.workOf(a)
			if done > 0 && done+more > maxWork {
				return nil // the client asks again for the rest
			}
			done += more
			answer, err = w.ask(a)
			answer.Work = more
		}
		if err != nil {
			return err
		}
		w.answers = append(w.answers, answer)
	}
	return nil
}

// workOf is what an ask takes, as figure.Work measures it.
func (w *work) workOf(a Ask) int {
	switch {
	case len(a.Faults) > 0:
		return 0
	case a.Kind == KindEdit:
		return figure.Work(w.d.figure, a.Edit)
	case a.Kind == KindRestore:
		return 4 * w.d.figure.Units()
	}
	return w.d.figure.Units()
}

// again finds the first answer to an ask.
func (s *Store) again(d *design, p page, seq int64) (Answer, error) {
	a := Answer{Seq: seq}
	err := s.read.QueryRow(`SELECT rev FROM steps WHERE design = ? AND person = ? AND client = ? AND seq = ?`, d.number, p.person, p.client, seq).Scan(&a.Rev)
	if !errors.Is(err, sql.ErrNoRows) {
		return a, err
	}
	var faults []byte
	err = s.read.QueryRow(`SELECT rev, faults FROM refusals WHERE design = ? AND person = ? AND client = ? AND seq = ?`, d.number, p.person, p.client, seq).Scan(&a.Rev, &faults)
	if err != nil {
		return a, err
	}
	a.Faults, err = decodeFaults(faults)
	a.Nothing = len(a.Faults) == 0
	return a, err
}

// ask carries out one ask that was not answered before.
func (w *work) ask(a Ask) (Answer, error) {
	if len(a.Faults) > 0 {
		return w.refuse(a, 0, a.Faults), nil
	}
	switch a.Kind {
	case KindEdit:
		if figure.Work(w.d.figure, a.Edit) > maxWork {
			return w.refuse(a, 0, tooHeavy()), nil
		}
		return w.edit(a, a.Edit, figure.Label(w.d.figure, a.Edit), 0)
	case KindUndo, KindRedo:
		return w.takeBack(a)
	case KindRestore:
		return w.restore(a)
	}
	return Answer{}, errors.New("store: no such kind of step: " + string(a.Kind))
}

// edit changes the figure in memory and puts the step on the list.
func (w *work) edit(a Ask, e figure.Edit, label words.Text, target int64) (Answer, error) {
	f := w.d.figure
	nextRing, nextExtra := f.NextRing, f.NextExtra
	most := batchWork
	if a.Kind != KindEdit {
		most = math.MaxInt // what was done can be undone
	}
	inverse, change, err := figure.ApplyWithin(context.Background(), f, e, most)
	if errors.Is(err, figure.ErrTooMuch) {
		return w.refuse(a, target, tooHeavy()), nil
	}
	var faults figure.Faults
	if errors.As(err, &faults) {
		return w.refuse(a, target, faults), nil
	}
	if err != nil {
		return Answer{}, err
	}
	remarks := change.Remarks
	if change.Missed > 0 {
		remarks = append(remarks, words.T("store.missed", "Count", change.Missed))
	}
	if change.Empty() && f.NextRing == nextRing && f.NextExtra == nextExtra && a.Kind == KindEdit {
		answer := w.refuse(a, 0, nil)
		answer.Remarks = remarks
		return answer, nil
	}
	w.d.rev++
	step := loggedStep{
		Step: Step{Rev: w.d.rev, Person: w.who, Client: w.page.client, Seq: a.Seq, Kind: a.Kind, Target: target, Label: label, At: w.at, Change: change},
		edit: figure.PackEdit(e), inverse: figure.PackEdit(inverse),
	}
	w.steps = append(w.steps, step)
	w.d.imprints.add(imprintOf(a.Kind, target, e))
	w.title = w.title || change.Title
	w.moved.steps++
	w.moved.bytes += len(step.edit) + len(step.inverse)
	for person, t := range w.d.people {
		if person == w.who.ID {
			t.add(step.Rev, step.Kind, step.Target)
		} else {
			t.others = step.Rev
		}
	}
	if w.s.watch != nil {
		w.stored = append(w.stored, w.s.watch(w.d.now(), step.Step))
	}
	return Answer{Seq: a.Seq, Rev: step.Rev, Remarks: remarks, Written: len(step.edit) + len(step.inverse)}, nil
}

// refuse answers an ask that changes nothing; without faults there was nothing to change. target is the
// step that an undo or redo gives up.
func (w *work) refuse(a Ask, target int64, faults figure.Faults) Answer {
	w.refused = append(w.refused, refusal{rev: w.d.rev, seq: a.Seq, kind: a.Kind, target: target, faults: faults})
	if t, known := w.d.people[w.who.ID]; known && target > 0 {
		t.giveUp(target)
	}
	return Answer{Seq: a.Seq, Rev: w.d.rev, Faults: faults, Nothing: len(faults) == 0}
}

// restore brings back the figure of an earlier revision as a new step.
func (w *work) restore(a Ask) (Answer, error) {
	committed := w.d.rev - int64(len(w.steps))
	if a.Rev < 0 || a.Rev > committed {
		return w.refuse(a, 0, figure.Faults{{Where: "rev", What: words.T("store.no_rev.what", "Rev", a.Rev, "Last", committed), Fix: words.T("store.no_rev.fix", "Last", committed)}}), nil
	}
	p, err := w.s.past(context.Background(), w.d.number, a.Rev)
	if errors.Is(err, &Error{Code: Damaged}) {
		w.s.log.Error("a version cannot be read", "design", w.d.id, "rev", a.Rev, "cause", err)
		return w.refuse(a, 0, figure.Faults{{Where: "rev", What: words.T("store.rev_damaged.what", "Rev", a.Rev), Fix: words.T("store.rev_damaged.fix")}}), nil
	}
	if err != nil {
		return Answer{}, err
	}
	e := &figure.Become{Document: string(p.figure.Write()), Keys: p.figure.Keys()}
	label, err := w.broughtBack(a.Rev)
	if err != nil {
		return Answer{}, err
	}
	return w.edit(a, e, label, a.Rev)
}

// broughtBack names the restoring of a stored revision by the step that made it.
func (w *work) broughtBack(rev int64) (words.Text, error) {
	if rev == 0 {
		return words.T("store.did.bring_back_first"), nil
	}
	var raw []byte
	if err := w.s.read.QueryRow(`SELECT label FROM steps WHERE design = ? AND rev = ?`, w.d.number, rev).Scan(&raw); err != nil {
		return words.Text{}, err
	}
	label, err := decodeText(raw)
	if strings.HasPrefix(label.Key, "store.did.bring_back") {
		return label, err // the same version once more
	}
	return words.T("store.did.bring_back", "Step", label), err
}

// A snapshot is due when at least snapshotSteps steps, and as many bytes of log as the last snapshot has,
// came since. So snapshots take no more room than the log, and few steps are replayed. Each is read back before it
// is stored.
const snapshotSteps = 200

// store brings the steps to the disk in one transaction.
func (w *work) store() error {
	if len(w.steps)+len(w.refused) == 0 {
		return nil
	}
	d := w.d
	total := growth{d.since.steps + w.moved.steps, d.since.bytes + w.moved.bytes}
	due := total.steps >= snapshotSteps && total.bytes >= d.size
	var document, keys []byte
	if due {
		var err error
		if document, keys, err = write(d.figure); err != nil {
			// A snapshot that cannot be read would stand in the way of the log, which can: none is made.
			w.s.log.Error("no snapshot: it could not be read back", "design", d.id, "rev", d.rev, "error", err)
			due, total = false, growth{}
		}
	}
	if len(w.steps)+len(w.refused) == 1 && !w.title && !due {
		d.since = total
		return w.s.whileOpen(func() error { return w.insert(w.s.stmts) }) // a single row is its own transaction
	}
	err := w.s.inTx(func(tx *sql.Tx) (err error) {
		if err := w.insert(w.s.stmts.in(tx)); err != nil {
			return err
		}
		if w.title {
			if _, err := tx.Exec(`UPDATE designs SET title = ? WHERE number = ?`, d.figure.Title, d.number); err != nil {
				return err
			}
		}
		if due {
			_, err = tx.Exec(`INSERT INTO snapshots (design, rev, document, keys) VALUES (?, ?, ?, ?)`, d.number, d.rev, string(document), string(keys))
		}
		return err
	})
	if err != nil {
		return err
	}
	if due {
		total, d.size = growth{}, len(document)
	}
	d.since = total
	return nil
}

func (w *work) insert(into statements) error {
	for _, l := range w.steps {
		label, err := encodeText(l.Label)
		if err != nil {
			return err
		}
		_, err = into.step.Exec(w.d.number, l.Rev, l.Person.ID, l.Person.Name, l.Client, l.Seq, string(l.Kind), l.Target,
			string(l.edit), string(l.inverse), string(label), millis(l.At))
		if err != nil {
			return err
		}
	}
	for _, r := range w.refused {
		faults, err := encodeFaults(r.faults)
		if err != nil {
			return err
		}
		if _, err := into.refused.Exec(w.d.number, r.rev, w.who.ID, w.page.client, r.seq, string(r.kind), r.target, string(faults)); err != nil {
			return err
		}
	}
	return nil
}

// statements are those that every step needs, prepared once.
type statements struct{ step, refused *sql.Stmt }

func (p *statements) prepare(ctx context.Context, db *sql.DB) (err error) {
	p.step, err = db.PrepareContext(ctx, `INSERT INTO steps (design, rev, person, name, client, seq, kind, target, edit, inverse, label, at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`)
	if err != nil {
		return err
	}
	p.refused, err = db.PrepareContext(ctx, `INSERT INTO refusals (design, rev, person, client, seq, kind, target, faults) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`)
	return err
}

// in makes the statements part of a transaction.
func (p *statements) in(tx *sql.Tx) statements {
	return statements{tx.Stmt(p.step), tx.Stmt(p.refused)}
}
