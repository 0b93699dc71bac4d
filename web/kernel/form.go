package kernel

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Form is what a person typed, kept as typed, and what is wrong with it, by field.
type Form struct {
	Values map[string][]string
	Wrong  map[string][]words.Text
	names  map[string]words.Text // what the fields are called where complaints are listed
	Order  []string              // fields with something wrong, as found
}

// NewForm keeps the values of a request's form. names are the names of its fields, for a form whose complaints are listed
// at its top.
func NewForm(values map[string][]string, names map[string]words.Text) *Form {
	return &Form{Values: values, Wrong: map[string][]words.Text{}, names: names}
}

// Value is what stands in a field.
func (f *Form) Value(field string) string {
	if v := f.Values[field]; len(v) > 0 {
		return v[0]
	}
	return ""
}

// Has tells whether a choice of several is ticked.
func (f *Form) Has(field, value string) bool {
	for _, v := range f.Values[field] {
		if v == value {
			return true
		}
	}
	return false
}

// Refuse notes what is wrong with a field and what would be right.
func (f *Form) Refuse(field string, sentences ...words.Text) {
	if len(f.Wrong[field]) == 0 {
		f.Order = append(f.Order, field)
	}
	f.Wrong[field] = append(f.Wrong[field], sentences...)
}

// OK says that nothing is wrong.
func (f *Form) OK() bool { return len(f.Wrong) == 0 }

// Whole reads a whole number from low to high; what is not one is refused beside its field.
func (f *Form) Whole(field string, low, high int) int {
	n, err := strconv.Atoi(strings.TrimSpace(f.Value(field)))
	if err != nil || n < low || n > high {
		f.Refuse(field, words.T("web.form.whole", "Low", low, "High", high))
		return 0
	}
	return n
}

// Length reads a length in mm, with a decimal point or comma.
func (f *Form) Length(field string, low, high float64) float64 {
	v, ok := Decimal(f.Value(field))
	if !ok || v < low || v > high {
		f.Refuse(field, words.T("web.form.length", "Low", Digits(low), "High", Digits(high)))
		return 0
	}
	return v
}

// Unit reads a unit's paper and fold.
func (f *Form) Unit(longField, shortField, foldField string) figure.Unit {
	u := figure.Unit{
		LongMM:  f.Length(longField, figure.MinUnitMM, figure.MaxUnitMM),
		ShortMM: f.Length(shortField, figure.MinUnitMM, figure.MaxUnitMM),
		Fold:    figure.Fold(f.Value(foldField)),
	}
	if !u.Fold.Known() {
		f.Refuse(foldField, words.T("web.form.choose"))
	}
	if len(f.Wrong[longField])+len(f.Wrong[shortField]) == 0 && u.SidesSwapped() {
		f.Refuse(longField, words.T("web.new.swapped", "Long", Digits(u.LongMM), "Short", Digits(u.ShortMM)))
	}
	return u
}

// Decimal reads a plain decimal number; "1,000" is refused, since its comma may part thousands.
func Decimal(s string) (v float64, ok bool) {
	s = strings.TrimSpace(s)
	if whole, part, found := strings.Cut(s, ","); found {
		if len(part) == 3 || strings.ContainsAny(s, ".") {
			return 0, false
		}
		s = whole + "." + part
	}
	if strings.ContainsAny(s, "xXpPnNiI_eE") { // hexadecimal, NaN, infinities, exponents: not what people type
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// Digits writes a number with as few digits as it needs.
func Digits(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Last is what stands in a field of which more than one value was sent.
func (f *Form) Last(field string) string {
	v := f.Values[field]
	if len(v) == 0 {
		return ""
	}
	return v[len(v)-1]
}

// RefuseFaults notes faults beside their fields; any other error comes back.
func (f *Form) RefuseFaults(err error) error {
	var faults figure.Faults
	if err == nil || !errors.As(err, &faults) {
		return err
	}
	for _, fault := range faults {
		f.Refuse(fault.Where, fault.What, fault.Fix)
	}
	return nil
}
