package store

import "context"

// History gives a design's steps from before a revision back, newest first, at most limit of them;
// before 0 begins with the newest.
func (s *Store) History(ctx context.Context, id string, before int64, limit int) ([]Step, error) {
	number, err := s.number(ctx, id)
	if err != nil {
		return nil, err
	}
	rows, err := s.read.QueryContext(ctx, `SELECT rev, person, name, client, seq, kind, target, label, at,
		EXISTS (SELECT 1 FROM steps u WHERE u.design = s.design AND u.target = s.rev AND u.kind IN ('undo', 'redo')
			AND NOT EXISTS (SELECT 1 FROM steps r WHERE r.design = u.design AND r.target = u.rev AND r.kind = 'redo'))
		FROM steps s WHERE design = ? AND (? <= 0 OR rev < ?) ORDER BY rev DESC LIMIT ?`, number, before, before, limit)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	var out []Step
	for rows.Next() {
		var t Step
		var label []byte
		var at int64
		if err := rows.Scan(&t.Rev, &t.Person.ID, &t.Person.Name, &t.Client, &t.Seq, &t.Kind, &t.Target, &label, &at, &t.Undone); err != nil {
			return nil, err
		}
		if t.Label, err = decodeText(label); err != nil {
			return nil, err
		}
		t.At = fromMillis(at)
		out = append(out, t)
	}
	return out, rows.Err()
}
