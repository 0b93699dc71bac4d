package report

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Limits of settings that have none elsewhere.
const (
	MaxSpare  = 100.0 // percent
	MaxPeople = 200
	MaxStock  = 1_000_000
	MaxPack   = 10_000 // sheets
	MaxEdge   = 200.0  // mm of margin
)

// Group says which part of the report a setting belongs to.
type Group string

// Groups of settings.
const (
	GroupPaper  Group = "paper"
	GroupTime   Group = "time"
	GroupSize   Group = "size"
	GroupColour Group = "colour"
)

// Field is one setting as a form shows it and the command line names it.
type Field struct {
	Name    string // "spare"; of a colour "colour.ID.sheet"; of an own time "time.KEY"
	Group   Group
	Colour  string // the colour's ID in GroupColour
	Label   words.Text
	Help    words.Text // what it is and where its default comes from
	Measure string     // "mm", "%", "g/m²" …
	Value   string
	Choices []Choice // what it may be, when that is a list
	set     func(text string) (what, fix words.Text, bad bool)
}

// Choice is one of a field's possible values.
type Choice struct {
	Value string
	Label words.Text
}

// Fields are all settings with their values as text, in the order of a form: those for all colours,
// then those of each colour of the figure. A nil figure gives the former.
func (s Settings) Fields(f *figure.Figure) []Field {
	copied := s.clone()
	return copied.fields(f)
}

// With gives the settings with some fields changed, by name and as somebody typed them. When
// anything is wrong, also with the fields not changed, the faults say so beside the fields'
// names, and the settings come back as they were.
func (s Settings) With(f *figure.Figure, texts map[string]string) (Settings, figure.Faults) {
	changed := s.clone()
	var faults figure.Faults
	for _, field := range changed.fields(f) {
		text, given := texts[field.Name]
		if !given {
			text = field.Value
		}
		if what, fix, bad := field.set(strings.TrimSpace(text)); bad {
			faults = append(faults, figure.Fault{Where: field.Name, What: what, Fix: fix})
		}
	}
	kept := changed.Swatch.measures() == s.Swatch.measures()
	if len(faults) == 0 {
		faults = changed.together(f, kept)
	}
	if changed.Swatch.measures() != s.Swatch.measures() {
		changed.Swatch = changed.Swatch.measures() // no longer a copy of a calibration
	}
	if len(faults) > 0 {
		return s, faults
	}
	return changed, nil
}

// together checks what no field can tell alone. A swatch that is kept as it was stored may tell what cannot be, since an
// earlier version took it: it gives no size (see Gauge), but costs nobody the list of what to buy.
func (s *Settings) together(f *figure.Figure, keptSwatch bool) figure.Faults {
	var faults figure.Faults
	stopwatch := s.Pace == pace.OwnStopwatch
	for _, p := range s.Paces {
		stopwatch = stopwatch || p == pace.OwnStopwatch
	}
	if stopwatch && len(s.StopwatchS) == 0 {
		faults = append(faults, figure.Fault{Where: "stopwatch", What: words.T("report.stopwatch.none"), Fix: words.T("report.stopwatch.fix", "Timed", pace.TimedUnits)})
	}
	if fault := s.swatchFault(f, keptSwatch); fault != nil {
		faults = append(faults, *fault)
	}
	return faults
}

// fields are bound to s: setting one changes s.
func (s *Settings) fields(f *figure.Figure) []Field {
	out := []Field{
		sheetField("field.sheet", &s.Sheet, false),
		numberField("field.grammage", "g/m²", paper.MinGrammage, paper.MaxGrammage, &s.Grammage),
		numberField("field.thickness_mm", "mm", 0, 5, &s.ThicknessMM),
		numberField("field.spare", "%", 0, MaxSpare, &s.Spare),
		numberField("field.margin_mm", "mm", 0, MaxEdge, &s.MarginMM),
		numberField("field.kerf_mm", "mm", 0, paper.MaxKerfMM, &s.KerfMM),
		numberField("field.stack_mm", "mm", 0.01, paper.MaxStackMM, &s.StackMM),
		currencyField(&s.Currency),
		s.offersField(),
		yesField("field.inches", &s.Inches),
	}
	for i := range out {
		out[i].Group = GroupPaper
	}
	n := len(out)
	out = append(out,
		wholeField("field.people", "", 1, MaxPeople, &s.People),
		choiceField("field.pace", paceChoices(), &s.Pace),
		secondsField(&s.StopwatchS),
		pacesField(&s.Paces),
		sessionField(&s.SessionMin),
		yesField("field.cut_before", &s.CutBefore))
	out = append(out, s.timeFields()...)
	for ; n < len(out); n++ {
		out[n].Group = GroupTime
	}
	out = append(out, swatchFields(&s.Swatch)...)
	for ; n < len(out); n++ {
		out[n].Group = GroupSize
	}
	if f != nil {
		for _, c := range f.Colours {
			out = append(out, s.colourFields(c)...)
		}
	}
	return out
}

// swatchFields measure a swatch; all empty means there is none.
func swatchFields(w *Swatch) []Field {
	fold := string(w.Fold)
	folds := choiceField("field.swatch_fold", []Choice{
		{"", words.T("report.fold.this")},
		{string(figure.Doubled), words.T("report.fold.doubled")}, {string(figure.Single), words.T("report.fold.single")},
	}, &fold)
	set := folds.set
	folds.set = func(text string) (what, fix words.Text, bad bool) {
		what, fix, bad = set(text)
		w.Fold = figure.Fold(fold)
		return what, fix, bad
	}
	return []Field{
		emptyIsZero(wholeField("field.swatch_units", "", figure.MinUnits, figure.MaxUnits, &w.Units), func() { w.Units = 0 }),
		emptyIsZero(wholeField("field.swatch_rings", "", shape.MinSwatchRings, figure.MaxRings, &w.Rings), func() { w.Rings = 0 }),
		emptyIsZero(numberField("field.swatch_diameter_mm", "mm", 2, shape.MaxSwatchMM, &w.DiameterMM), func() { w.DiameterMM = 0 }),
		emptyIsZero(numberField("field.swatch_height_mm", "mm", 2, shape.MaxSwatchMM, &w.HeightMM), func() { w.HeightMM = 0 }),
		emptyIsZero(numberField("field.swatch_long_mm", "mm", figure.MinUnitMM, figure.MaxUnitMM, &w.LongMM), func() { w.LongMM = 0 }),
		emptyIsZero(numberField("field.swatch_short_mm", "mm", figure.MinUnitMM, figure.MaxUnitMM, &w.ShortMM), func() { w.ShortMM = 0 }),
		folds,
	}
}

// swatchField is the field in which an entry of a swatch is typed.
var swatchField = map[shape.SwatchEntry]string{
	shape.SwatchUnit: "swatch_long_mm", shape.SwatchUnits: "swatch_units", shape.SwatchRings: "swatch_rings",
	shape.SwatchDiameter: "swatch_diameter_mm", shape.SwatchHeight: "swatch_height_mm", shape.SwatchRounding: "swatch_diameter_mm",
}

// swatchFault says what is missing from a swatch that is measured in part. A swatch without a unit is
// taken to be of the figure's.
func (s *Settings) swatchFault(f *figure.Figure, kept bool) *figure.Fault {
	w := &s.Swatch
	measured := []struct {
		name string
		none bool
	}{{"swatch_units", w.Units == 0}, {"swatch_rings", w.Rings == 0},
		{"swatch_diameter_mm", w.DiameterMM == 0}, {"swatch_height_mm", w.HeightMM == 0}}
	missing := ""
	some := w.LongMM != 0 || w.ShortMM != 0
	for _, m := range measured {
		if m.none && missing == "" {
			missing = m.name
		}
		some = some || !m.none
	}
	if !some {
		*w = Swatch{}
		return nil
	}
	if missing != "" {
		return &figure.Fault{Where: missing, What: words.T("report.empty"), Fix: words.T("report.swatch.fix")}
	}
	if f != nil && (w.LongMM == 0 || w.ShortMM == 0) {
		w.LongMM, w.ShortMM = f.Unit.LongMM, f.Unit.ShortMM
	}
	if f != nil && w.Fold == "" {
		w.Fold = f.Unit.Fold
	}
	if w.LongMM == 0 || w.ShortMM == 0 || kept {
		return nil
	}
	if refused := w.Fault(); refused != nil {
		return &figure.Fault{Where: swatchField[refused.Entry], What: refused.Text, Fix: words.T("report.swatch.fix")}
	}
	return nil
}

// timeFields are the maker's own numbers in place of pace.Defaults; empty means the default.
func (s *Settings) timeFields() []Field {
	var out []Field
	for _, d := range pace.Defaults() {
		low, high := d.Limits()
		field := Field{Name: "time." + d.Key, Measure: d.Measure, Label: d.Name(), Help: d.Source()}
		if own, ok := s.OwnTimes[d.Key]; ok {
			field.Value = number(own)
		}
		field.set = func(text string) (what, fix words.Text, bad bool) {
			if text == "" {
				delete(s.OwnTimes, d.Key)
				return what, fix, false
			}
			v, what, fix, bad := parseNumber(text, low, high)
			if !bad {
				if s.OwnTimes == nil {
					s.OwnTimes = map[string]float64{}
				}
				s.OwnTimes[d.Key] = v
			}
			return what, fix, bad
		}
		out = append(out, field)
	}
	return out
}

// colourFields are what is particular to one colour.
func (s *Settings) colourFields(c figure.Colour) []Field {
	own := s.Colours[c.ID]
	if own == nil {
		own = &ColourPaper{}
		s.Colours[c.ID] = own
	}
	out := []Field{
		sheetField("colour.sheet", &own.Sheet, true),
		emptyIsZero(numberField("colour.grammage", "g/m²", paper.MinGrammage, paper.MaxGrammage, &own.Grammage), func() { own.Grammage = 0 }),
		choiceField("colour.sides", []Choice{{"", words.T("report.sides.any")}, {"both", words.T("report.sides.both")}, {"one", words.T("report.sides.one")}}, &own.Sides),
		emptyIsZero(wholeField("colour.pack_sheets", "", 1, MaxPack, &own.PackSheets), func() { own.PackSheets = 0 }),
		s.priceField(&own.PackPrice),
		wholeField("colour.stock_sheets", "", 0, MaxStock, &own.StockSheets),
		partsField(&own.StockParts),
		wholeField("colour.stock_cut", "", 0, MaxStock, &own.StockCut),
		wholeField("colour.stock_folded", "", 0, MaxStock, &own.StockFolded),
	}
	for i := range out {
		out[i].Name = "colour." + c.ID + "." + out[i].Name
		out[i].Group, out[i].Colour = GroupColour, c.ID
	}
	return out
}

// newField makes the field that a sentence of the catalogue names: "field.spare" is the field spare,
// which "report.field.spare" and "report.field.spare.help" explain.
func newField(key, measure string) Field {
	_, name, _ := strings.Cut(key, ".")
	return Field{Name: name, Measure: measure, Label: words.T("report." + key), Help: words.T("report." + key + ".help")}
}

func numberField(key, measure string, low, high float64, p *float64) Field {
	f := newField(key, measure)
	f.Value = number(*p)
	f.set = func(text string) (what, fix words.Text, bad bool) {
		v, what, fix, bad := parseNumber(text, low, high)
		if !bad {
			*p = v
		}
		return what, fix, bad
	}
	return f
}

func wholeField(key, measure string, low, high int, p *int) Field {
	f := newField(key, measure)
	f.Value = strconv.Itoa(*p)
	f.set = func(text string) (what, fix words.Text, bad bool) {
		v, err := strconv.Atoi(text)
		if err != nil || v < low || v > high {
			return found(text), words.T("figure.whole.fix", "Low", low, "High", high), true
		}
		*p = v
		return what, fix, false
	}
	return f
}

// emptyIsZero lets a field be empty, which means as for all colours; its zero is shown so.
func emptyIsZero(f Field, clear func()) Field {
	if f.Value == "0" {
		f.Value = ""
	}
	set := f.set
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if text == "" {
			clear()
			return what, fix, false
		}
		return set(text)
	}
	return f
}

func yesField(key string, p *bool) Field {
	value := strconv.FormatBool(*p)
	f := choiceField(key, []Choice{{"true", words.T("report.yes")}, {"false", words.T("report.no")}}, &value)
	set := f.set
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if text == "" {
			text = "false"
		}
		what, fix, bad = set(text)
		*p = value == "true"
		return what, fix, bad
	}
	return f
}

func choiceField(key string, choices []Choice, p *string) Field {
	f := newField(key, "")
	f.Value, f.Choices = *p, choices
	f.set = func(text string) (what, fix words.Text, bad bool) {
		for _, c := range choices {
			if c.Value == text {
				*p = text
				return what, fix, false
			}
		}
		return found(text), words.T("figure.choice.fix", "Allowed", values(choices)), true
	}
	return f
}

func values(choices []Choice) string {
	all := make([]string, len(choices))
	for i, c := range choices {
		all[i] = c.Value
	}
	return strings.Join(all, ", ")
}

func paceChoices() []Choice {
	var out []Choice
	for _, name := range []string{pace.Beginner().Name, pace.Practised().Name, pace.OwnStopwatch} {
		out = append(out, Choice{name, pace.Profile{Name: name}.Text()})
	}
	return out
}

func sheetField(key string, p *string, mayBeEmpty bool) Field {
	f := newField(key, "")
	f.Value = *p
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if text == "" && mayBeEmpty {
			*p = ""
			return what, fix, false
		}
		sheet, err := paper.ParseSheet(text)
		if err != nil {
			return faultText(err)
		}
		*p = sheet.Name
		return what, fix, false
	}
	return f
}

// faultText takes the sentences out of a fault of another package.
func faultText(err error) (what, fix words.Text, bad bool) {
	var fault figure.Fault
	if errors.As(err, &fault) {
		return fault.What, fault.Fix, true
	}
	return words.T("report.said", "Text", err.Error()), words.Text{}, true
}

func currencyField(p *string) Field {
	f := newField("field.currency", "")
	f.Value = *p
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if err := paper.ValidateCurrency(text); err != nil {
			return faultText(err)
		}
		*p = strings.ToUpper(text)
		return what, fix, false
	}
	return f
}

// secondsField reads the times of the stopwatch: numbers parted by spaces or semicolons.
func secondsField(p *[]float64) Field {
	f := newField("field.stopwatch", "s")
	shown := make([]string, len(*p))
	for i, v := range *p {
		shown[i] = number(v)
	}
	f.Value = strings.Join(shown, " ")
	f.set = func(text string) (what, fix words.Text, bad bool) {
		var times []float64
		for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ';' || r == '\n' || r == '\t' }) {
			v, what, fix, bad := parseNumber(part, 0, 1e6)
			if bad {
				return what, fix, bad
			}
			times = append(times, v)
		}
		if len(times) > 0 {
			if _, err := pace.Stopwatch(times); err != nil {
				return words.T("report.said", "Text", err.Error()), words.T("report.stopwatch.fix", "Timed", pace.TimedUnits), true
			}
		}
		*p = times
		return what, fix, false
	}
	return f
}

// pacesField reads the paces of single people, parted by spaces or commas.
func pacesField(p *[]string) Field {
	f := newField("field.paces", "")
	f.Value = strings.Join(*p, " ")
	f.set = func(text string) (what, fix words.Text, bad bool) {
		names := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
		for _, name := range names {
			if _, ok := pace.Named(name); !ok && name != pace.OwnStopwatch {
				return found(name), words.T("figure.choice.fix", "Allowed", values(paceChoices())), true
			}
		}
		if len(names) > MaxPeople {
			return found(text), words.T("figure.whole.fix", "Low", 0, "High", MaxPeople), true
		}
		*p = names
		return what, fix, false
	}
	return f
}

// sessionField reads the length of a session; 0 or nothing means no plan.
func sessionField(p *float64) Field {
	f := numberField("field.session_min", "min", pace.MinSessionMin, pace.MaxSessionMin, p)
	set := f.set
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if text == "" || text == "0" {
			*p = 0
			return what, fix, false
		}
		return set(text)
	}
	return f
}

var numberPattern = regexp.MustCompile(`^-?[0-9]{1,12}(\.[0-9]{1,9})?$`)

// parseNumber reads a number with a decimal point, between low and high.
func parseNumber(text string, low, high float64) (v float64, what, fix words.Text, bad bool) {
	if strings.Contains(text, ",") {
		return 0, found(text), words.T("report.comma.fix", "Example", strings.ReplaceAll(text, ",", ".")), true
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !numberPattern.MatchString(text) || v < low || v > high {
		return 0, found(text), words.T("figure.number.fix", "Low", number(low), "High", number(high)), true
	}
	return v, what, fix, false
}

// found says what stands in a field, shortened.
func found(text string) words.Text {
	if text == "" {
		return words.T("report.empty")
	}
	return words.T("report.found", "Found", clipped(text))
}

// clipped shortens what somebody typed so that a message stays readable.
func clipped(text string) string {
	if r := []rune(text); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return text
}

// number writes a number as it is typed: a decimal point, no exponent, no trailing zeros.
func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// priceField reads the price of a pack in the settings' currency; empty means unknown. A wrong
// currency has a fault of its own.
func (s *Settings) priceField(p *string) Field {
	f := newField("colour.pack_price", "")
	f.Value = *p
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if text != "" && paper.ValidateCurrency(s.Currency) == nil {
			if _, err := paper.ParseMoney("pack_price", text, s.Currency); err != nil {
				return faultText(err)
			}
		}
		*p = text
		return what, fix, false
	}
	return f
}

// offersField reads the sheets in the shop that are compared, one a line.
func (s *Settings) offersField() Field {
	f := newField("field.offers", "")
	f.Value = s.Offers
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if paper.ValidateCurrency(s.Currency) == nil {
			if _, err := parseOffers(text, s.Currency); err != nil {
				return faultText(err)
			}
		}
		s.Offers = text
		return what, fix, false
	}
	return f
}

// partsField reads the sizes of part-used sheets: "210x120, 2 × 100x80".
func partsField(p *string) Field {
	f := newField("colour.stock_parts", "mm")
	f.Value = *p
	f.set = func(text string) (what, fix words.Text, bad bool) {
		if _, err := parseParts(text); err != nil {
			return faultText(err)
		}
		*p = text
		return what, fix, false
	}
	return f
}

// Limits of the part-used sheets of a colour: how many sizes, and how many sheets of each.
const (
	maxParts     = 50
	maxPartCount = 9999
)

var partPattern = regexp.MustCompile(`^(?:([0-9]+)\s*[×x*]\s*)?([0-9.]+\s*[×x*]\s*[0-9.]+)$`)

// withPart adds part-used sheets to others; those of one size are one entry, however they are turned.
func withPart(parts []paper.PartSheets, more paper.PartSheets) []paper.PartSheets {
	for i, p := range parts {
		same := p.WidthMM == more.WidthMM && p.HeightMM == more.HeightMM || p.WidthMM == more.HeightMM && p.HeightMM == more.WidthMM
		if same && p.Count+more.Count <= maxPartCount {
			parts[i].Count += more.Count
			return parts
		}
	}
	return append(parts, more)
}

// parseParts reads sizes of part-used sheets parted by commas, each with how many there are of it
// before it if there are several. A comma may end the list. It fails with a figure.Fault.
func parseParts(text string) ([]paper.PartSheets, error) {
	var out []paper.PartSheets
	if text == "" {
		return nil, nil
	}
	bad := figure.Fault{Where: "stock_parts", What: found(text), Fix: words.T("report.parts.fix")}
	parts := strings.Split(strings.TrimSuffix(strings.TrimSpace(text), ","), ",")
	if len(parts) > maxParts {
		return nil, figure.Fault{Where: "stock_parts", What: words.T("report.parts.many", "Found", len(parts)), Fix: words.T("report.parts.fewer", "Most", maxParts)}
	}
	for _, part := range parts {
		m := partPattern.FindStringSubmatch(strings.TrimSpace(part))
		if m == nil {
			return nil, bad
		}
		sheet, err := paper.ParseSheet(m[2])
		if err != nil {
			return nil, err
		}
		count := 1
		if m[1] != "" {
			if count, err = strconv.Atoi(m[1]); err != nil || count > maxPartCount {
				return nil, figure.Fault{Where: "stock_parts", What: words.T("report.parts.count", "Found", clipped(m[1])), Fix: words.T("report.parts.count.fix", "Most", maxPartCount)}
			}
		}
		out = withPart(out, paper.PartSheets{WidthMM: sheet.WidthMM, HeightMM: sheet.HeightMM, Count: count})
	}
	return out, nil
}
