// Package shape tells how large a figure becomes and where every unit of it stands: the size from
// the maker's own swatch or from memory, the papers and counts that come closest to a wished size,
// the place of every unit and extra in space, and the model file (glTF 2.0 binary) of the whole.
//
// Lengths are in millimetres and angles in radians, but for the model file, which is in metres as
// its standard asks.
package shape

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// Size of a unit in its wall, in legs, and how far a figure may be off (from memory, to be
// calibrated by the maker's swatch).
const (
	pitchPerLeg = 0.58 // arc of a unit in its ring
	risePerLeg  = 0.48 // height of a ring
	offPart     = 0.20 // ± this part of either
)

// sameLegMM is how close two legs must be for a swatch to speak for a unit.
const sameLegMM = 0.05

// Range is a length in mm that is only known to lie between Low and High.
type Range struct {
	Low  float64 `json:"low"`
	Best float64 `json:"best"`
	High float64 `json:"high"`
}

// Times scales the range by a factor that is not negative.
func (r Range) Times(k float64) Range { return Range{r.Low * k, r.Best * k, r.High * k} }

func spread(best, part float64) Range {
	return Range{best * (1 - part), best, best * (1 + part)}
}

// Gauge is the size of one unit in the wall, in mm: Pitch is its arc in the ring, Rise the height
// that a ring adds. Calibrated says that both were measured on a swatch of this very unit.
type Gauge struct {
	Pitch, Rise Range
	Calibrated  bool
}

// FromMemory is the gauge of a unit before its maker has measured a swatch: ±20 %.
func FromMemory(u figure.Unit) Gauge {
	leg := fold.Of(u).LegMM
	return Gauge{Pitch: spread(pitchPerLeg*leg, offPart), Rise: spread(risePerLeg*leg, offPart)}
}

// Limits of a swatch.
const (
	MinSwatchRings  = 2
	MaxSwatchMM     = 5000.0
	DefaultRounding = 1.0 // mm: what a ruler is read to
	MaxRounding     = 20.0
)

// Swatch is a small tube that the maker has built of one paper and measured.
type Swatch struct {
	Name         string      `json:"name"`
	Paper        string      `json:"paper"` // in the maker's words: "80 g copy paper, A4 in 32"
	Unit         figure.Unit `json:"-"`
	UnitsPerRing int         `json:"units_per_ring"`
	Rings        int         `json:"rings"`
	DiameterMM   float64     `json:"diameter_mm"` // outside
	HeightMM     float64     `json:"height_mm"`
	RoundingMM   float64     `json:"rounding_mm"` // measures were read to this; 0 means 1 mm
}

// Gauge works out the pitch and rise of the swatch's unit. The measures are good to half their
// rounding, which gives the range. It fails with a words.Text that says which entry cannot be.
func (s Swatch) Gauge() (Gauge, error) {
	if err := s.check(); err != nil {
		return Gauge{}, err
	}
	half := s.rounding() / 2
	around := Range{s.DiameterMM - half, s.DiameterMM, s.DiameterMM + half}
	up := Range{s.HeightMM - half, s.HeightMM, s.HeightMM + half}
	return Gauge{
		Pitch:      around.Times(math.Pi / float64(s.UnitsPerRing)),
		Rise:       up.Times(1 / float64(s.Rings)),
		Calibrated: true,
	}, nil
}

func (s Swatch) rounding() float64 {
	if s.RoundingMM == 0 {
		return DefaultRounding
	}
	return s.RoundingMM
}

func (s Swatch) check() error {
	r := s.rounding()
	switch {
	case s.UnitsPerRing < figure.MinUnits || s.UnitsPerRing > figure.MaxUnits:
		return words.T("shape.swatch.units", "Found", s.UnitsPerRing, "Low", figure.MinUnits, "High", figure.MaxUnits)
	case s.Rings < MinSwatchRings || s.Rings > figure.MaxRings:
		return words.T("shape.swatch.rings", "Found", s.Rings, "Low", MinSwatchRings, "High", figure.MaxRings)
	case !(r > 0 && r <= MaxRounding):
		return words.T("shape.swatch.rounding", "High", MaxRounding)
	case !(s.DiameterMM > r && s.DiameterMM <= MaxSwatchMM):
		return words.T("shape.swatch.diameter", "Low", r, "High", MaxSwatchMM)
	case !(s.HeightMM > r && s.HeightMM <= MaxSwatchMM):
		return words.T("shape.swatch.height", "Low", r, "High", MaxSwatchMM)
	}
	return nil
}

// GaugeFor is the gauge of a unit as far as the swatch can tell. For the swatch's own unit (same leg,
// same fold) it is calibrated. For another one the swatch's hand is scaled to its leg and is as
// unsure as memory, ±20 %.
func (s Swatch) GaugeFor(u figure.Unit) (Gauge, error) {
	g, err := s.Gauge()
	if err != nil {
		return g, err
	}
	own, want := fold.Of(s.Unit).LegMM, fold.Of(u).LegMM
	if math.Abs(own-want) <= sameLegMM && s.Unit.Fold == u.Fold {
		return g, nil
	}
	if !(own > 0) {
		return FromMemory(u), nil
	}
	return Gauge{
		Pitch: spread(g.Pitch.Best*want/own, offPart),
		Rise:  spread(g.Rise.Best*want/own, offPart),
	}, nil
}

// RingSize is the size of one ring: Diameter across its wall, Top how high its upper edge stands
// over the table, in mm.
type RingSize struct {
	Ring     int   `json:"ring"` // number, from 1
	Units    int   `json:"units"`
	Diameter Range `json:"diameter_mm"`
	Top      Range `json:"top_mm"`
}

// Size is the size of a figure's wall; extras may stand beyond it. Diameter is that of its widest
// ring. A wall that leans strongly comes out somewhat lower than its rings' heights together.
//
// Height is rings × rise, as rise is meant and measured: a swatch's height, from the table to its top,
// shared out among all its rings. So the lowest units, which stand higher than a ring's rise, have their
// share in every ring; a figure of far fewer rings than the swatch comes out higher than this, one of far
// more comes out lower. StandingMM is the height with the lowest units shown whole.
type Size struct {
	Calibrated bool       `json:"calibrated"`
	Height     Range      `json:"height_mm"`
	Diameter   Range      `json:"diameter_mm"`
	Rings      []RingSize `json:"rings"`
}

// Estimate works out the size of a figure whose units have the given gauge. A ring with openings is
// as wide as the circle that its units and openings fill together.
func Estimate(f *figure.Figure, g Gauge) Size {
	s := Size{Calibrated: g.Calibrated, Height: g.Rise.Times(float64(len(f.Rings)))}
	around := circles(f, figure.Unroll(f))
	for i, units := range around {
		r := RingSize{
			Ring: i + 1, Units: len(f.Rings[i].Cells),
			Diameter: g.Pitch.Times(units / math.Pi),
			Top:      g.Rise.Times(float64(i + 1)),
		}
		if r.Diameter.Best > s.Diameter.Best {
			s.Diameter = r.Diameter
		}
		s.Rings = append(s.Rings, r)
	}
	return s
}

// circles tells for each ring how many units would fill its whole circle: its units, and more where
// it leaves openings.
func circles(f *figure.Figure, u *figure.Unrolled) []float64 {
	out := make([]float64, len(f.Rings))
	for i := range f.Rings {
		n, covered := len(f.Rings[i].Cells), 0.0
		for k := range n {
			from, to := u.Arc(i, k)
			covered += to - from
		}
		out[i] = float64(n)
		if covered > 0 && covered < 1-1e-9 {
			out[i] /= covered
		}
	}
	return out
}
