package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/base32"
	"encoding/base64"
	"errors"
	"strings"
	"time"
)

// Power is what a link lets its holder do with the design.
type Power string

// The powers. A builder ticks off what is built; an editor changes the figure.
const (
	PowerView  Power = "view"
	PowerBuild Power = "build"
	PowerEdit  Power = "edit"
)

// Valid says whether p is one of the powers.
func (p Power) Valid() bool { return p == PowerView || p == PowerBuild || p == PowerEdit }

// Link opens one design to whoever has its token.
type Link struct {
	Token   string
	Design  string
	Power   Power
	Made    time.Time
	Revoked time.Time // zero while the link works
}

// MakeLink makes a link to a design. The error is an *Error of code NotFound when there is no such design.
func (s *Store) MakeLink(ctx context.Context, design string, power Power) (Link, error) {
	if !power.Valid() {
		return Link{}, errors.New("store: no such power: " + string(power))
	}
	number, err := s.number(ctx, design)
	if err != nil {
		return Link{}, err
	}
	l := Link{Token: newToken(), Design: design, Power: power, Made: s.now()}
	err = s.inTx(func(tx *sql.Tx) error {
		_, err := tx.Exec(`INSERT INTO links (token, design, power, made) VALUES (?, ?, ?, ?)`, l.Token, number, l.Power, millis(l.Made))
		return err
	})
	return l, err
}

// Links lists a design's links that work, oldest first.
func (s *Store) Links(ctx context.Context, design string) ([]Link, error) {
	number, err := s.number(ctx, design)
	if err != nil {
		return nil, err
	}
	rows, err := s.read.QueryContext(ctx, `SELECT token, power, made FROM links WHERE design = ? AND revoked IS NULL ORDER BY made, token`, number)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	var out []Link
	for rows.Next() {
		l := Link{Design: design}
		var made int64
		if err := rows.Scan(&l.Token, &l.Power, &made); err != nil {
			return nil, err
		}
		l.Made = fromMillis(made)
		out = append(out, l)
	}
	return out, rows.Err()
}

// Resolve finds the design that a token opens. A token that never was and one that was taken back
// give the same *Error of code NotFound.
func (s *Store) Resolve(ctx context.Context, token string) (Link, error) {
	l := Link{Token: token}
	var made int64
	err := s.read.QueryRowContext(ctx, `SELECT d.id, l.power, l.made FROM links l JOIN designs d ON d.number = l.design
		WHERE l.token = ? AND l.revoked IS NULL`, token).Scan(&l.Design, &l.Power, &made)
	if errors.Is(err, sql.ErrNoRows) {
		return Link{}, refuse(NotFound, "store.no_link")
	}
	l.Made = fromMillis(made)
	return l, err
}

// RevokeLink takes a link of the design back at once and for good. Taking it back twice is no error.
func (s *Store) RevokeLink(ctx context.Context, design, token string) error {
	number, err := s.number(ctx, design)
	if err != nil {
		return err
	}
	return s.inTx(func(tx *sql.Tx) error {
		done, err := tx.Exec(`UPDATE links SET revoked = coalesce(revoked, ?) WHERE token = ? AND design = ?`, millis(s.now()), token, number)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, refuse(NotFound, "store.no_link"))
		}
		return nil
	})
}

// number is the number that a design has inside the database.
func (s *Store) number(ctx context.Context, id string) (number int64, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT number FROM designs WHERE id = ?`, id).Scan(&number)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, refuse(NotFound, "store.no_design")
	}
	return number, err
}

// newToken makes a token of 128 random bits, too many to guess.
func newToken() string { return base64.RawURLEncoding.EncodeToString(random(16)) }

// newID makes the public ID of a design: 80 random bits in 16 letters and digits.
func newID() string { return strings.ToLower(base32.StdEncoding.EncodeToString(random(10))) }

func random(n int) []byte {
	b := make([]byte, n)
	_, _ = rand.Read(b) // never fails (crypto/rand, since Go 1.24)
	return b
}

func millis(t time.Time) int64 { return t.UnixMilli() }

func fromMillis(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
