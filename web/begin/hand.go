package begin

import (
	"context"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/web/common"
)

// hand is how large units come out in the maker's hand: the swatches that were measured and kept, the newest first. A figure that
// begins is reckoned by them, and keeps the one that it was reckoned by, so that its report says the same.
type hand []report.Swatch

// hand gives the maker's swatches whose measures can be.
func (s *room) hand(ctx context.Context) (hand, error) {
	list, err := s.Store.Calibrations(ctx)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(list, func(a, b store.Calibration) int { return b.Made.Compare(a.Made) })
	var out hand
	for _, c := range list {
		if swatch := common.SwatchOf(c); swatch.Fault() == nil {
			out = append(out, swatch)
		}
	}
	return out, nil
}

// swatch is the one by which a figure of a unit is reckoned: of that unit, else the newest of all; none where the maker has none.
func (h hand) swatch(u figure.Unit) report.Swatch {
	const sameMM = 0.1
	for _, w := range h {
		own := figure.Unit{LongMM: w.LongMM, ShortMM: w.ShortMM, Fold: w.Fold}
		if own.Fold == u.Fold && math.Abs(fold.Of(own).LegMM-fold.Of(u).LegMM) <= sameMM {
			return w
		}
	}
	if len(h) > 0 {
		return h[0]
	}
	return report.Swatch{}
}

// gauge is how large a unit comes out in the wall: by its swatch, from memory where there is none.
func (h hand) gauge(u figure.Unit) shape.Gauge {
	settings := report.Settings{Swatch: h.swatch(u)}
	return settings.Gauge(u)
}

// settings are those that a figure of a unit begins with.
func (h hand) settings(u figure.Unit) report.Settings {
	out := report.DefaultSettings()
	out.Swatch = h.swatch(u)
	return out
}
