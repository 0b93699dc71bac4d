package common

import (
	"tuckring/internal/report"
	"tuckring/internal/store"
)

// SwatchOf is a calibration as a design keeps it among its settings.
func SwatchOf(c store.Calibration) report.Swatch {
	return report.Swatch{LongMM: c.Unit.LongMM, ShortMM: c.Unit.ShortMM, Fold: c.Unit.Fold, Units: c.Units, Rings: c.Rings,
		DiameterMM: c.DiameterMM, HeightMM: c.HeightMM, Name: c.Name, RoundingMM: c.RoundingMM}
}
