package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"tuckring/internal/figure"
)

// Calibration is a small tube of one paper that the maker has built and measured, under a name.
type Calibration struct {
	ID         int64
	Name       string
	Paper      string // in the maker's words
	Unit       figure.Unit
	Units      int // in each ring
	Rings      int
	DiameterMM float64 // outside
	HeightMM   float64
	RoundingMM float64 // what the measures were read to
	Made       time.Time
}

// Calibrations lists the maker's calibrations by their names.
func (s *Store) Calibrations(ctx context.Context) ([]Calibration, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT id, name, paper, long_mm, short_mm, fold, units, rings, diameter_mm, height_mm, rounding_mm, made
		FROM calibrations ORDER BY name COLLATE NOCASE, id`)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	var out []Calibration
	for rows.Next() {
		var c Calibration
		var made int64
		if err := rows.Scan(&c.ID, &c.Name, &c.Paper, &c.Unit.LongMM, &c.Unit.ShortMM, &c.Unit.Fold, &c.Units, &c.Rings,
			&c.DiameterMM, &c.HeightMM, &c.RoundingMM, &made); err != nil {
			return nil, err
		}
		c.Made = fromMillis(made)
		out = append(out, c)
	}
	return out, rows.Err()
}

// AddCalibration keeps a calibration, whose measures the caller has checked, and gives it its ID. The
// error is an *Error of code Conflict when there is one of that name.
func (s *Store) AddCalibration(_ context.Context, c Calibration) (Calibration, error) {
	c.Made = s.now()
	err := s.inTx(func(tx *sql.Tx) error {
		var there int64
		err := tx.QueryRow(`SELECT id FROM calibrations WHERE name = ?`, c.Name).Scan(&there)
		if err == nil {
			return refuse(Conflict, "store.calibration_name", "Name", c.Name)
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		done, err := tx.Exec(`INSERT INTO calibrations (name, paper, long_mm, short_mm, fold, units, rings, diameter_mm, height_mm, rounding_mm, made)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, c.Name, c.Paper, c.Unit.LongMM, c.Unit.ShortMM, string(c.Unit.Fold), c.Units, c.Rings,
			c.DiameterMM, c.HeightMM, c.RoundingMM, millis(c.Made))
		if err != nil {
			return err
		}
		c.ID, err = done.LastInsertId()
		return err
	})
	return c, err
}

// RemoveCalibration forgets a calibration. Designs that use it keep its measures. The error is an *Error of
// code NotFound when there is none of that ID.
func (s *Store) RemoveCalibration(_ context.Context, id int64) error {
	return s.inTx(func(tx *sql.Tx) error {
		done, err := tx.Exec(`DELETE FROM calibrations WHERE id = ?`, id)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, refuse(NotFound, "store.no_calibration"))
		}
		return nil
	})
}
