package paper

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Sheet is a size of paper, upright: WidthMM is the shorter side of a named sheet.
type Sheet struct {
	Name     string  // "A4"; an own size is named by its size, "100x150"
	WidthMM  float64 // mm
	HeightMM float64 // mm
}

// Limits of a sheet's sides in mm.
const (
	MinSheetMM = 10.0
	MaxSheetMM = 3000.0
)

// Families of sheets, each with the same source.
const (
	familyISO  = "iso216"
	familyANSI = "ansi"
	familyFold = "craft"
	familyOwn  = "own"
)

// MMPerInch is exact by definition (international yard and pound agreement, 1959).
const MMPerInch = 25.4

// Inches turns mm into inches.
func Inches(mm float64) float64 { return mm / MMPerInch }

// sheets is the table of named sheets; trimmed sizes in mm.
var sheets = []struct {
	Sheet
	family string
}{
	{Sheet{"A0", 841, 1189}, familyISO}, {Sheet{"A1", 594, 841}, familyISO},
	{Sheet{"A2", 420, 594}, familyISO}, {Sheet{"A3", 297, 420}, familyISO},
	{Sheet{"A4", 210, 297}, familyISO}, {Sheet{"A5", 148, 210}, familyISO},
	{Sheet{"A6", 105, 148}, familyISO}, {Sheet{"A7", 74, 105}, familyISO},
	{Sheet{"A8", 52, 74}, familyISO}, {Sheet{"A9", 37, 52}, familyISO},
	{Sheet{"A10", 26, 37}, familyISO},
	{Sheet{"B0", 1000, 1414}, familyISO}, {Sheet{"B1", 707, 1000}, familyISO},
	{Sheet{"B2", 500, 707}, familyISO}, {Sheet{"B3", 353, 500}, familyISO},
	{Sheet{"B4", 250, 353}, familyISO}, {Sheet{"B5", 176, 250}, familyISO},
	{Sheet{"B6", 125, 176}, familyISO}, {Sheet{"B7", 88, 125}, familyISO},
	{Sheet{"B8", 62, 88}, familyISO}, {Sheet{"B9", 44, 62}, familyISO},
	{Sheet{"B10", 31, 44}, familyISO},
	{Sheet{"Letter", 8.5 * MMPerInch, 11 * MMPerInch}, familyANSI},
	{Sheet{"Legal", 8.5 * MMPerInch, 14 * MMPerInch}, familyANSI},
	{Sheet{"Tabloid", 11 * MMPerInch, 17 * MMPerInch}, familyANSI},
	{Sheet{"7.5 cm square", 75, 75}, familyFold}, {Sheet{"10 cm square", 100, 100}, familyFold},
	{Sheet{"15 cm square", 150, 150}, familyFold}, {Sheet{"20 cm square", 200, 200}, familyFold},
	{Sheet{"24 cm square", 240, 240}, familyFold}, {Sheet{"30 cm square", 300, 300}, familyFold},
	{Sheet{"12 in square", 12 * MMPerInch, 12 * MMPerInch}, familyFold},
}

// Sheets lists the named sheets: ISO 216 A and B, the inch sizes, craft squares.
func Sheets() []Sheet {
	out := make([]Sheet, len(sheets))
	for i, s := range sheets {
		out[i] = s.Sheet
	}
	return out
}

// ParseSheet reads a sheet's name ("A4", "15 cm square"; capitals and spaces do not matter) or an
// own size WIDTHxHEIGHT in mm ("100x150", decimals with a point). It fails with a figure.Fault.
func ParseSheet(text string) (Sheet, error) {
	squeezed := squeeze(text)
	for _, s := range sheets {
		if squeeze(s.Name) == squeezed {
			return s.Sheet, nil
		}
	}
	if !strings.ContainsAny(squeezed, "x×*") {
		return Sheet{}, fault("sheet", words.T("paper.sheet.unknown", "Found", quote(text)), words.T("paper.sheet.allowed"))
	}
	w, h, err := ParseSize("sheet", text)
	if err != nil {
		return Sheet{}, err
	}
	s := Sheet{WidthMM: w, HeightMM: h}
	s.Name = s.size("x")
	return s, s.Validate()
}

// Validate refuses a sheet whose sides are not between MinSheetMM and MaxSheetMM.
func (s Sheet) Validate() error {
	for _, side := range []float64{s.WidthMM, s.HeightMM} {
		if !within(side, MinSheetMM, MaxSheetMM) {
			return fault("sheet", words.T("paper.sheet.side", "Found", mm(side)),
				words.T("paper.range", "Low", mm(MinSheetMM), "High", mm(MaxSheetMM)))
		}
	}
	return nil
}

// Source says where the sheet's size comes from.
func (s Sheet) Source() words.Text {
	family := familyOwn
	for _, known := range sheets {
		if known.Sheet == s {
			family = known.family
		}
	}
	return words.T("paper.source." + family)
}

// Label is the sheet's name with its size: "A4 (210 × 297 mm)", or the size alone.
func (s Sheet) Label() words.Text {
	if s.Name == "" || s.Name == s.size("x") {
		return words.T("paper.sheet.own", "Size", s.size(" × "))
	}
	return words.T("paper.sheet.label", "Name", s.Name, "Size", s.size(" × "))
}

// AreaM2 is the sheet's area in square metres.
func (s Sheet) AreaM2() float64 { return s.WidthMM * s.HeightMM / 1e6 }

func (s Sheet) size(times string) string { return mm(s.WidthMM) + times + mm(s.HeightMM) }

// DefaultGrammage is the mass of common copy paper in g/m² (common practice).
const DefaultGrammage = 80.0

// Limits of a grammage in g/m²: from tissue to board.
const (
	MinGrammage = 10.0
	MaxGrammage = 1000.0
)

// Bulk is the volume of paper by mass in cm³/g from which a thickness is taken when none is
// measured: 80 g/m² gives 0.1 mm. From memory for uncoated copy paper; papers differ from 0.8
// (coated) to 2 (craft), so a maker measures a pile.
const Bulk = 1.25

// Mass is the mass in grams of sheets of paper of the grammage in g/m²: grammage × area (ISO 536).
func Mass(s Sheet, grammage float64, sheets int) float64 {
	return s.AreaM2() * grammage * float64(sheets)
}

// Thickness is the expected thickness in mm of paper of the grammage in g/m², by Bulk.
func Thickness(grammage float64) float64 { return grammage * Bulk / 1000 }

// MassSource says where the mass comes from.
func MassSource() words.Text { return words.T("paper.source.mass") }

// ThicknessSource says where the expected thickness comes from.
func ThicknessSource() words.Text { return words.T("paper.source.thickness") }

// ValidateGrammage refuses a grammage outside MinGrammage to MaxGrammage.
func ValidateGrammage(grammage float64) error {
	if within(grammage, MinGrammage, MaxGrammage) {
		return nil
	}
	return fault("grammage", words.T("paper.grammage.bad", "Found", number(grammage)),
		words.T("paper.grammage.allowed", "Low", number(MinGrammage), "High", number(MaxGrammage)))
}

var sizePattern = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?)[x×*]([0-9]+(?:\.[0-9]+)?)(?:mm)?$`)

// ParseSize reads a size such as "52x37" or "18.5 × 52 mm": two lengths in mm with decimals after a
// point. where names the field in the fault.
func ParseSize(where, text string) (a, b float64, err error) {
	squeezed := squeeze(text)
	if strings.Contains(squeezed, ",") {
		return 0, 0, fault(where, words.T("paper.size.comma", "Found", quote(text)), words.T("paper.size.point"))
	}
	m := sizePattern.FindStringSubmatch(squeezed)
	if m == nil {
		return 0, 0, fault(where, words.T("paper.size.unreadable", "Found", quote(text)), words.T("paper.size.allowed"))
	}
	a, errA := strconv.ParseFloat(m[1], 64)
	b, errB := strconv.ParseFloat(m[2], 64)
	if errA != nil || errB != nil {
		return 0, 0, fault(where, words.T("paper.size.unreadable", "Found", quote(text)), words.T("paper.size.allowed"))
	}
	return a, b, nil
}

func squeeze(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(s), ""))
}

// quote shows what a person typed, shortened so that a message stays readable.
func quote(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return strconv.Quote(s)
}

func within(v, low, high float64) bool { return v >= low && v <= high } // false for NaN

// mm writes a length for people: no trailing zeros, at most six decimals (a nanometre).
func mm(v float64) string {
	return number(math.Round(v*1e6) / 1e6)
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func fault(where string, what, fix words.Text) figure.Fault {
	return figure.Fault{Where: where, What: what, Fix: fix}
}
