package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"

	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Settings are what a report needs to know besides the figure: paper, people, money. They are
// stored with a design as JSON and are not part of the figure document. Every value has a default;
// Validate says what is wrong with one beside its field.
type Settings struct {
	Sheet       string  `json:"sheet"`        // a named sheet or WIDTHxHEIGHT in mm
	Grammage    float64 `json:"grammage"`     // g/m²
	ThicknessMM float64 `json:"thickness_mm"` // of one sheet; 0: expected from the grammage
	Spare       float64 `json:"spare"`        // percent of spare units, rounded up for each colour
	MarginMM    float64 `json:"margin_mm"`    // unusable edge of the sheet
	KerfMM      float64 `json:"kerf_mm"`      // paper lost by each cut
	StackMM     float64 `json:"stack_mm"`     // how thick a stack the blade cuts

	People     int                `json:"people"`
	Pace       string             `json:"pace"`                  // "beginner", "practised" or "stopwatch"
	StopwatchS []float64          `json:"stopwatch_s,omitempty"` // seconds of the timed units, or of ten together
	Paces      []string           `json:"paces,omitempty"`       // of single people, in order; the others have Pace
	SessionMin float64            `json:"session_min"`           // length of a session; 0: no plan
	CutBefore  bool               `json:"cut_before"`            // the paper is cut before the first session
	OwnTimes   map[string]float64 `json:"own_times,omitempty"`   // in place of pace.Defaults, by key

	Currency string                  `json:"currency"`         // ISO 4217
	Offers   string                  `json:"offers,omitempty"` // sheets in the shop to compare, one a line: name; sheet; sheets in a pack; price
	Colours  map[string]*ColourPaper `json:"colours,omitempty"`

	Swatch Swatch `json:"swatch,omitzero"` // zero: the size is from memory
	Inches bool   `json:"inches"`          // show lengths in inches too
}

// ColourPaper is what is particular to the paper of one colour; zero values mean as for all.
type ColourPaper struct {
	Sheet       string  `json:"sheet,omitempty"`
	Grammage    float64 `json:"grammage,omitempty"`     // g/m²
	Sides       string  `json:"sides,omitempty"`        // "both" or "one": which sides are coloured; "": no matter
	PackSheets  int     `json:"pack_sheets,omitempty"`  // sheets in a pack as sold; 0: single sheets
	PackPrice   string  `json:"pack_price,omitempty"`   // price of a pack, with a decimal point; "": unknown
	StockSheets int     `json:"stock_sheets,omitempty"` // whole sheets at hand
	StockParts  string  `json:"stock_parts,omitempty"`  // part-used sheets at hand: "210x120, 2 × 100x80"
	StockCut    int     `json:"stock_cut,omitempty"`    // units already cut
	StockFolded int     `json:"stock_folded,omitempty"` // units already folded
}

// Swatch is a small tube that the maker built and measured, and the paper of its units.
type Swatch struct {
	LongMM     float64     `json:"long_mm"`
	ShortMM    float64     `json:"short_mm"`
	Fold       figure.Fold `json:"fold"`
	Units      int         `json:"units"` // in each ring
	Rings      int         `json:"rings"`
	DiameterMM float64     `json:"diameter_mm"` // outside
	HeightMM   float64     `json:"height_mm"`
	Name       string      `json:"name,omitempty"`        // of the calibration it is a copy of
	RoundingMM float64     `json:"rounding_mm,omitempty"` // what the measures were read to; 0: shape.DefaultRounding
}

// measures is the swatch without what the form of the report does not ask for.
func (w Swatch) measures() Swatch {
	w.Name, w.RoundingMM = "", 0
	return w
}

// shape is the swatch as the size is reckoned from it.
func (w Swatch) shape() shape.Swatch {
	return shape.Swatch{
		Unit:         figure.Unit{LongMM: w.LongMM, ShortMM: w.ShortMM, Fold: w.Fold},
		UnitsPerRing: w.Units, Rings: w.Rings, DiameterMM: w.DiameterMM, HeightMM: w.HeightMM, RoundingMM: w.RoundingMM,
	}
}

// Fault says which entry of the swatch cannot be, and why; nil when it tells a unit's size.
func (w Swatch) Fault() *shape.SwatchFault {
	var refused *shape.SwatchFault
	_, err := w.shape().Gauge()
	errors.As(err, &refused)
	return refused
}

// DefaultSheet is the sheet of a design that names none.
const DefaultSheet = "A4"

// DefaultSettings are the settings of a design that has none of its own.
func DefaultSettings() Settings {
	return Settings{
		Sheet: DefaultSheet, Grammage: paper.DefaultGrammage, Spare: paper.DefaultSparePercent, StackMM: paper.DefaultStackMM,
		People: 1, Pace: pace.Beginner().Name, CutBefore: true, Currency: "EUR",
	}
}

// ReadSettings reads stored settings; what is not given keeps its default, and empty data are the
// defaults. Unknown fields and wrong kinds are errors; values are not checked (see Validate).
func ReadSettings(data []byte) (Settings, error) {
	s := DefaultSettings()
	if len(bytes.TrimSpace(data)) == 0 {
		return s, nil
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return DefaultSettings(), words.T("report.settings.unreadable", "Reason", err.Error())
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return DefaultSettings(), words.T("report.settings.trailing")
	}
	return s, nil
}

// Write gives the settings as JSON, as they are stored.
func (s Settings) Write() []byte {
	s = s.clone()
	maps.DeleteFunc(s.Colours, func(_ string, c *ColourPaper) bool { return c == nil || *c == ColourPaper{} })
	if data, err := json.Marshal(s); err == nil {
		return data
	}
	return []byte("{}") // a number that is not finite; Validate refuses it before
}

func (s Settings) clone() Settings {
	s.StopwatchS = append([]float64(nil), s.StopwatchS...)
	s.Paces = append([]string(nil), s.Paces...)
	s.OwnTimes = maps.Clone(s.OwnTimes)
	colours := make(map[string]*ColourPaper, len(s.Colours))
	for id, c := range s.Colours {
		if c != nil {
			copied := *c
			colours[id] = &copied
		}
	}
	s.Colours = colours
	return s
}

// colour is what is particular to one colour, never nil.
func (s *Settings) colour(id string) ColourPaper {
	if c := s.Colours[id]; c != nil {
		return *c
	}
	return ColourPaper{}
}

// sheetOf is the sheet of a colour's paper; the settings are valid.
func (s *Settings) sheetOf(id string) (paper.Sheet, error) {
	if own := s.colour(id).Sheet; own != "" {
		return paper.ParseSheet(own)
	}
	return paper.ParseSheet(s.Sheet)
}

// grammageOf is the grammage of a colour's paper in g/m².
func (s *Settings) grammageOf(id string) float64 {
	if own := s.colour(id).Grammage; own > 0 {
		return own
	}
	return s.Grammage
}

// thicknessOf is the thickness of one sheet of a colour's paper in mm.
func (s *Settings) thicknessOf(id string) float64 {
	if s.ThicknessMM > 0 {
		return s.ThicknessMM
	}
	return paper.Thickness(s.grammageOf(id))
}

// swatchRefused says why the swatch tells no size, zero when it does or there is none.
func (s *Settings) swatchRefused() words.Text {
	if s.Swatch == (Swatch{}) {
		return words.Text{}
	}
	refused := s.Swatch.Fault()
	if refused == nil {
		return words.Text{}
	}
	var name any = s.Swatch.Name
	if s.Swatch.Name == "" {
		name = words.T("sizepage.unnamed")
	}
	return words.T("sizepage.refused", "Swatch", name, "Why", refused.Text)
}

// Gauge is how large a unit comes out in the wall: from the swatch if there is one whose measures can be.
func (s *Settings) Gauge(u figure.Unit) shape.Gauge {
	if s.Swatch != (Swatch{}) {
		if g, err := s.Swatch.shape().GaugeFor(u); err == nil {
			return g
		}
	}
	return shape.FromMemory(u)
}

// profiles are the paces of all people.
func (s *Settings) profiles() []pace.Profile {
	out := make([]pace.Profile, s.People)
	all := s.profile(s.Pace)
	for i := range out {
		out[i] = all
		if i < len(s.Paces) {
			out[i] = s.profile(s.Paces[i])
		}
	}
	return out
}

func (s *Settings) profile(name string) pace.Profile {
	if name == pace.OwnStopwatch {
		if p, err := pace.Stopwatch(s.StopwatchS); err == nil {
			return p
		}
	}
	p, ok := pace.Named(name)
	if !ok {
		return pace.Beginner()
	}
	return p
}

// Validate says everything that is wrong with the settings for this figure; Where is the name of
// the field (see Fields).
func (s Settings) Validate(f *figure.Figure) figure.Faults {
	texts := map[string]string{}
	for _, field := range s.Fields(f) {
		texts[field.Name] = field.Value
	}
	_, faults := s.With(f, texts)
	return faults
}
