package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Damaged designs: one that cannot be read as it is now must not keep the others from being shown, nor its own
// earlier versions from being used.

// LastReadable finds the last version of a design that can be read, and the figure as it was then. The error is
// an *Error of code Damaged when there is none, NotFound when there is no such design.
func (s *Store) LastReadable(ctx context.Context, id string) (rev int64, f *figure.Figure, err error) {
	number, err := s.number(ctx, id)
	if err != nil {
		return 0, nil, err
	}
	ctx = context.WithoutCancel(ctx)
	tx, err := s.read.BeginTx(ctx, nil)
	if err != nil {
		return 0, nil, err
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	begin, _, err := nearest(ctx, tx, number, -1)
	if err != nil {
		return 0, nil, err
	}
	p := begin
	if err := p.forward(ctx, tx, number, -1); err == nil && sound(p.figure) {
		return p.rev, p.figure, nil
	} else if err != nil && !errors.Is(err, &Error{Code: Damaged}) {
		return 0, nil, err
	}
	return lastSound(ctx, tx, number, begin.rev, p.rev)
}

// lastSound halves the versions from one that can be read to one after which none can, until it has the last
// that can.
func lastSound(ctx context.Context, q querier, number, low, high int64) (rev int64, f *figure.Figure, err error) {
	for low <= high {
		middle := low + (high-low+1)/2
		p, _, err := nearest(ctx, q, number, middle)
		if err == nil {
			err = p.forward(ctx, q, number, middle)
		}
		if err != nil && !errors.Is(err, &Error{Code: Damaged}) {
			return 0, nil, err
		}
		if err == nil && sound(p.figure) {
			if rev, f = middle, p.figure; middle == high {
				break
			}
			low = middle
			continue
		}
		if middle == low {
			break
		}
		high = middle - 1
	}
	if f == nil {
		return 0, nil, unreadDesign(fmt.Errorf("design %d: no version can be read", number))
	}
	return rev, f, nil
}

// sound tells whether a figure can be written as a document and read again.
func sound(f *figure.Figure) bool {
	return sheltered(func() error {
		_, err := figure.Read(f.Write())
		return err
	}) == nil
}

// GoOn makes a new design of the last version of a damaged one that can be read, with its settings. The damaged
// one stays as it is.
func (s *Store) GoOn(ctx context.Context, id string) (Design, error) {
	_, old, err := s.LastReadable(ctx, id)
	if err != nil {
		return Design{}, err
	}
	f, err := figure.Read(old.Write()) // with identities of its own: the old ones may be what is damaged
	if err != nil {
		return Design{}, err
	}
	var settings []byte
	if err := s.read.QueryRowContext(ctx, `SELECT settings FROM designs WHERE id = ?`, id).Scan(&settings); err != nil {
		return Design{}, err
	}
	d, err := s.Create(ctx, f)
	if err != nil {
		return Design{}, err
	}
	d.Settings = settings
	return d, s.putSettings(ctx, d.ID, settings) // as they are, for whoever can read them
}

// checkDesigns reads every design of the database at path, to which nobody writes, and says which do not hold
// together and where. The error says that the database itself cannot be read.
func checkDesigns(ctx context.Context, path string) ([]words.Text, error) {
	db, err := sql.Open("sqlite3", fileURI(path, "mode=ro&immutable=1"))
	if err != nil {
		return nil, err
	}
	defer func() { _ = db.Close() }() // only read
	rows, err := db.QueryContext(ctx, `SELECT number, title FROM designs ORDER BY number`)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	var out []words.Text
	for rows.Next() {
		var number int64
		var title string
		if err := rows.Scan(&number, &title); err != nil {
			return nil, err
		}
		found, err := checkDesign(ctx, db, number)
		if err != nil {
			return nil, err
		}
		if found != nil {
			out = append(out, words.T("store.design.of", "Title", title, "What", *found))
		}
	}
	return out, rows.Err()
}

// checkDesign gives the first thing that does not hold together in a design, nil when all does: its log has every
// step, every snapshot and every step can be read, and the last steps carried out.
func checkDesign(ctx context.Context, q querier, number int64) (*words.Text, error) {
	for _, check := range []func(context.Context, querier, int64) (*words.Text, error){missingStep, unreadSnapshot, unreadStep, unreadNow} {
		if found, err := check(ctx, q, number); found != nil || err != nil {
			return found, err
		}
	}
	return nil, nil
}

func finding(key string, pairs ...any) *words.Text {
	t := words.T(key, pairs...)
	return &t
}

// missingStep looks for the first revision up to the last known one that the log lacks.
func missingStep(ctx context.Context, q querier, number int64) (*words.Text, error) {
	var rev, last int64
	err := q.QueryRowContext(ctx, `SELECT
		(SELECT min(rev) + 1 FROM (SELECT 0 AS rev UNION ALL SELECT rev FROM steps WHERE design = ?1) s
			WHERE NOT EXISTS (SELECT 1 FROM steps WHERE design = ?1 AND rev = s.rev + 1)),
		max(coalesce((SELECT max(rev) FROM steps WHERE design = ?1), 0),
			coalesce((SELECT max(rev) FROM snapshots WHERE design = ?1), 0),
			coalesce((SELECT max(rev) FROM refusals WHERE design = ?1), 0))`, number).Scan(&rev, &last)
	if err != nil || rev > last {
		return nil, err
	}
	return finding("store.design.gap", "Rev", rev, "Last", last), nil
}

// unreadSnapshot looks for the first snapshot that cannot be read; one at revision 0 there must be.
func unreadSnapshot(ctx context.Context, q querier, number int64) (*words.Text, error) {
	rows, err := q.QueryContext(ctx, `SELECT rev, document, keys FROM snapshots WHERE design = ? ORDER BY rev`, number)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	first := true
	for rows.Next() {
		var rev int64
		var document, keys []byte
		if err := rows.Scan(&rev, &document, &keys); err != nil {
			return nil, err
		}
		if first && rev != 0 {
			break
		}
		first = false
		if _, err := unwrite(document, keys); err != nil {
			return finding("store.design.snapshot", "Rev", rev), nil
		}
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	if first {
		return finding("store.design.snapshot", "Rev", 0), nil
	}
	return nil, nil
}

// unreadStep looks for the first step that cannot be read.
func unreadStep(ctx context.Context, q querier, number int64) (*words.Text, error) {
	rows, err := q.QueryContext(ctx, `SELECT rev, edit, inverse FROM steps WHERE design = ? ORDER BY rev`, number)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	for rows.Next() {
		var rev int64
		var edit, inverse sql.RawBytes
		if err := rows.Scan(&rev, &edit, &inverse); err != nil {
			return nil, err
		}
		err := sheltered(func() error {
			_, err1 := figure.UnpackEdit(edit)
			_, err2 := figure.UnpackEdit(inverse)
			return errors.Join(err1, err2)
		})
		if err != nil {
			return finding("store.design.step", "Rev", rev), nil
		}
	}
	return nil, rows.Err()
}

// unreadNow carries out the steps after the last snapshot, as opening the design does.
func unreadNow(ctx context.Context, q querier, number int64) (*words.Text, error) {
	p, err := snapshot(ctx, q, number, -1)
	if err == nil {
		err = p.forward(ctx, q, number, -1)
	}
	if errors.Is(err, &Error{Code: Damaged}) {
		return finding("store.design.step", "Rev", p.rev+1), nil
	}
	return nil, err
}
