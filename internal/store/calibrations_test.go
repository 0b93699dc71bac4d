package store

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func TestCalibrationsAreKeptByName(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	none, err := s.Calibrations(ctx)
	require.NoError(t, err)
	assert.Empty(t, none)
	swatch := Calibration{Name: "Copy paper", Paper: "80 g, A4 in 32", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		Units: 12, Rings: 6, DiameterMM: 44.5, HeightMM: 60, RoundingMM: 0.5}
	first, err := s.AddCalibration(ctx, swatch)
	require.NoError(t, err)
	_, err = s.AddCalibration(ctx, swatch)
	assert.Equal(t, Conflict, code(t, err))
	card := swatch
	card.Name, card.Unit.Fold = "card, thick", figure.Single
	_, err = s.AddCalibration(ctx, card)
	require.NoError(t, err)
	require.NoError(t, s.Close())

	s = openAt(t, path)
	list, err := s.Calibrations(ctx)
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, "card, thick", list[0].Name, "by name, capitals or not")
	assert.WithinDuration(t, first.Made, list[1].Made, time.Millisecond)
	list[1].Made = first.Made
	assert.Equal(t, first, list[1])

	require.NoError(t, s.RemoveCalibration(ctx, first.ID))
	assert.Equal(t, NotFound, code(t, s.RemoveCalibration(ctx, first.ID)))
	list, err = s.Calibrations(ctx)
	require.NoError(t, err)
	assert.Len(t, list, 1)
}
