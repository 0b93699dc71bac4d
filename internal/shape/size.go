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

// RisePerPitch is the height of a ring in widths of a plain unit.
const RisePerPitch = risePerLeg / pitchPerLeg

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

// rangeOf is the range of a length that comes out at these three values of a gauge. As a wall widens some lengths grow
// and others fall (the lowest ring's units lean further out, and its top comes down), so either end may be the lower one.
func rangeOf(one, best, other float64) Range {
	return Range{math.Min(best, math.Min(one, other)), best, math.Max(best, math.Max(one, other))}
}

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

// SwatchEntry is one of the entries of a swatch.
type SwatchEntry string

// The entries of a swatch that may be at fault.
const (
	SwatchUnit     SwatchEntry = "unit"
	SwatchUnits    SwatchEntry = "units"
	SwatchRings    SwatchEntry = "rings"
	SwatchDiameter SwatchEntry = "diameter"
	SwatchHeight   SwatchEntry = "height"
	SwatchRounding SwatchEntry = "rounding"
)

// SwatchFault says which entry of a swatch cannot be, and why.
type SwatchFault struct {
	Entry SwatchEntry
	words.Text
}

func swatchFault(entry SwatchEntry, key string, pairs ...any) *SwatchFault {
	return &SwatchFault{entry, words.T(key, pairs...)}
}

// Gauge works out the pitch and rise of the swatch's unit: those with which a tube of its units and rings, as it
// is placed for the 3D view, measures outside what the swatch measures. The measures are good to half their rounding,
// which gives the range. It fails with a SwatchFault that says which entry cannot be.
func (s Swatch) Gauge() (Gauge, error) {
	if err := s.check(); err != nil {
		return Gauge{}, err
	}
	half := s.rounding() / 2
	g := Gauge{Calibrated: true}
	for _, way := range []struct {
		off         float64
		pitch, rise *float64
	}{{0, &g.Pitch.Best, &g.Rise.Best}, {-half, &g.Pitch.Low, &g.Rise.Low}, {half, &g.Pitch.High, &g.Rise.High}} {
		pitch, rise, err := s.wall(s.DiameterMM+way.off, s.HeightMM+way.off, way.off != 0)
		if err != nil {
			return Gauge{}, err
		}
		*way.pitch, *way.rise = pitch, rise
	}
	g.Pitch, g.Rise = rangeOf(g.Pitch.Low, g.Pitch.Best, g.Pitch.High), rangeOf(g.Rise.Low, g.Rise.Best, g.Rise.High)
	return g, nil
}

// Limits of what a swatch may tell of a unit, in legs (from the unit's geometry): units whose points stand on each
// other are no tube; a pitch of two legs would pull a unit flat; and a ring that rises by a leg takes no points any more.
const (
	leastPart     = 0.05
	mostPitchLegs = 2.0
	mostRiseLegs  = 1.0
)

// wall solves for the pitch and rise of a tube that is so wide and so high outside, in mm. Either grows with its own
// measure. clamp keeps them within what can be, for the ends of a range; otherwise a measure that cannot be is refused
// with a SwatchFault that says which and what could be.
func (s Swatch) wall(diameter, height float64, clamp bool) (pitch, rise float64, err error) {
	m := fold.Of(s.Unit)
	low, high := leastPart*m.LegMM, mostPitchLegs*m.LegMM
	wide := func(pitch float64) float64 { return tubeOf(m, pitch).diameter(s.UnitsPerRing, s.Rings) }
	least, most := wide(low), wide(high)
	if !clamp && !(diameter >= least && diameter <= most) {
		return 0, 0, swatchFault(SwatchDiameter, "shape.swatch.diameter.unlikely", "Units", s.UnitsPerRing, "Low", math.Ceil(least), "High", math.Floor(most), "Measure", "mm")
	}
	pitch = meet(low, high, math.Pi/float64(s.UnitsPerRing), func(v float64) float64 { return diameter - wide(v) })
	t := tubeOf(m, pitch)
	more := float64(s.Rings - 1)
	rise = (height - t.height(1, 0)) / more
	low, high = leastPart*m.LegMM, mostRiseLegs*m.LegMM
	if !clamp && !(rise >= low && rise <= high) {
		return 0, 0, swatchFault(SwatchHeight, "shape.swatch.height.unlikely", "Rings", s.Rings,
			"Low", math.Ceil(t.height(s.Rings, low)), "High", math.Floor(t.height(s.Rings, high)), "Measure", "mm")
	}
	return pitch, math.Max(low, math.Min(high, rise)), nil
}

// meet finds where what is missing, which falls, comes to nothing between low and high: by steps of slope times what is
// missing, and by halving where such a step leads out of what is left.
func meet(low, high, slope float64, missing func(float64) float64) float64 {
	at := (low + high) / 2
	for range 80 {
		gap := missing(at)
		if gap > 0 {
			low = at
		} else {
			high = at
		}
		next := at + gap*slope
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-at) < 1e-12*high {
			return next
		}
		at = next
	}
	return at
}

// tubeSize measures plain upright tubes of a unit with a pitch, long sides out, as Place would put them.
type tubeSize struct {
	b     body
	pitch float64
}

func tubeOf(m fold.Measures, pitch float64) tubeSize {
	return tubeSize{bodyOf(fold.NewSolid(m, pitch/2, fold.PaperMM)), pitch}
}

// diameter is from tip to tip. In two rings or more every tip has one opposite, in its own ring or the next.
func (t tubeSize) diameter(units, rings int) float64 {
	tilt := tiltOf(figure.Long, 0)
	far, aside := t.b.reach(float64(units)*t.pitch/(2*math.Pi), tilt, false)
	if rings > 1 || units%2 == 0 {
		return 2 * far
	}
	return 2 * far * math.Cos(math.Max(0, math.Pi/float64(units)-2*aside)/2)
}

// height is from the table to the top.
func (t tubeSize) height(rings int, rise float64) float64 {
	down, up := t.b.rises(tiltOf(figure.Long, 0))
	return down + float64(rings-1)*rise + up
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
	case !(fold.Of(s.Unit).LegMM > 0):
		return swatchFault(SwatchUnit, "shape.swatch.unit")
	case s.UnitsPerRing < figure.MinUnits || s.UnitsPerRing > figure.MaxUnits:
		return swatchFault(SwatchUnits, "shape.swatch.units", "Found", s.UnitsPerRing, "Low", figure.MinUnits, "High", figure.MaxUnits)
	case s.Rings < MinSwatchRings || s.Rings > figure.MaxRings:
		return swatchFault(SwatchRings, "shape.swatch.rings", "Found", s.Rings, "Low", MinSwatchRings, "High", figure.MaxRings)
	case !(r > 0 && r <= MaxRounding):
		return swatchFault(SwatchRounding, "shape.swatch.rounding", "High", MaxRounding)
	case !(s.DiameterMM > r && s.DiameterMM <= MaxSwatchMM):
		return swatchFault(SwatchDiameter, "shape.swatch.diameter", "Low", r, "High", MaxSwatchMM)
	case !(s.HeightMM > r && s.HeightMM <= MaxSwatchMM):
		return swatchFault(SwatchHeight, "shape.swatch.height", "Low", r, "High", MaxSwatchMM)
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

// RingSize is the outside size of one ring: Diameter from tip to tip of its units, Top how high they reach over
// the table, in mm.
type RingSize struct {
	Part     string `json:"part,omitempty"` // the id of its part, in a figure of several
	Name     string `json:"-"`              // and the name of it
	Ring     int    `json:"ring"`           // number, from 1, in its part
	Units    int    `json:"units"`
	Diameter Range  `json:"diameter_mm"`
	Top      Range  `json:"top_mm"`
}

// Size is what a ruler reads on the figure from outside: Height from the table to its highest corner, Diameter the
// greatest width from tip to tip, extras among them as they are shown in 3D; Rings are the rings alone. All of it is
// measured on the placed figure (see outside), at the least, best and greatest values of the gauge.
type Size struct {
	Calibrated bool       `json:"calibrated"`
	Height     Range      `json:"height_mm"`
	Diameter   Range      `json:"diameter_mm"`
	Rings      []RingSize `json:"rings"`
}

// Estimate works out the size of a figure whose units have the given gauge, without placing every unit.
func Estimate(f *figure.Figure, g Gauge) Size {
	u := figure.Unroll(f)
	return sizeOf(f, u, g, setUp(f, u, g, false).outside(f, u))
}

// sizeOf is the size of a figure that measures best at the best values of the gauge.
func sizeOf(f *figure.Figure, u *figure.Unrolled, g Gauge, best outside) Size {
	at := func(pitch, rise float64) outside {
		fixed := Gauge{Pitch: Range{pitch, pitch, pitch}, Rise: Range{rise, rise, rise}}
		return setUp(f, u, fixed, false).outside(f, u)
	}
	low, high := at(g.Pitch.Low, g.Rise.Low), at(g.Pitch.High, g.Rise.High)
	s := Size{
		Calibrated: g.Calibrated,
		Height:     rangeOf(low.height, best.height, high.height),
		Diameter:   rangeOf(low.diameter, best.diameter, high.diameter),
		Rings:      make([]RingSize, len(f.Rings)),
	}
	for i := range f.Rings {
		s.Rings[i] = RingSize{
			Ring: f.RowNumber(i), Units: len(f.Rings[i].Cells),
			Diameter: rangeOf(low.across[i], best.across[i], high.across[i]),
			Top:      rangeOf(low.top[i], best.top[i], high.top[i]),
		}
		if len(f.Parts) > 0 {
			part := &f.Parts[f.PartOf(i)]
			s.Rings[i].Part, s.Rings[i].Name = part.Code, part.Name
		}
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
