package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

func TestDefaultSettingsAreValid(t *testing.T) {
	assert.Empty(t, DefaultSettings().Validate(nil))
	assert.Empty(t, DefaultSettings().Validate(load(t, "contract-example")))
}

func TestSettingsRoundTrip(t *testing.T) {
	f := load(t, "contract-example")
	s, faults := DefaultSettings().With(f, map[string]string{
		"sheet": "letter", "spare": "7.5", "people": "9", "pace": "stopwatch", "stopwatch": "62 55; 50",
		"session_min": "90", "cut_before": "false", "currency": "gbp", "inches": "true", "time.stroke": "20",
		"colour.brick.pack_sheets": "100", "colour.brick.pack_price": "4.95", "colour.soot.stock_parts": "210x120, 2 × 100x80",
	})
	require.Empty(t, faults)
	assert.Equal(t, "Letter", s.Sheet)
	assert.Equal(t, "GBP", s.Currency)
	assert.Equal(t, []float64{62, 55, 50}, s.StopwatchS)
	assert.Equal(t, 20.0, s.OwnTimes["stroke"])
	read, err := ReadSettings(s.Write())
	require.NoError(t, err)
	assert.Equal(t, s.Write(), read.Write())
	assert.Empty(t, read.Validate(f))
	parts, err := parseParts(read.colour("soot").StockParts)
	require.NoError(t, err)
	assert.Equal(t, []paper.PartSheets{{WidthMM: 210, HeightMM: 120, Count: 1}, {WidthMM: 100, HeightMM: 80, Count: 2}}, parts)
}

func TestEmptySettingsAreTheDefaults(t *testing.T) {
	s, err := ReadSettings(nil)
	require.NoError(t, err)
	assert.Equal(t, DefaultSettings(), s)
	s, err = ReadSettings([]byte(`{"people": 3}`))
	require.NoError(t, err)
	assert.Equal(t, 3, s.People)
	assert.Equal(t, "A4", s.Sheet)
}

func TestUnreadableSettingsAreRefused(t *testing.T) {
	for _, bad := range []string{`{`, `{"shet": "A4"}`, `{"people": "nine"}`, `[]`, `{} {}`} {
		_, err := ReadSettings([]byte(bad))
		assert.Error(t, err, bad)
	}
}

// Each refused beside its field, with what would be right; nothing is changed.
func TestBadSettingsAreRefusedBesideTheirField(t *testing.T) {
	f := load(t, "contract-example")
	for _, c := range []struct{ field, text, fix string }{
		{"sheet", "A44", ""},
		{"sheet", "", ""},
		{"grammage", "0", "from 10 to 1000"},
		{"spare", "-1", "from 0 to 100"},
		{"spare", "5,5", "5.5"},
		{"spare", "1e1", "from 0 to 100"},
		{"spare", "NaN", "from 0 to 100"},
		{"margin_mm", "-3", "from 0"},
		{"people", "0", "from 1 to 200"},
		{"people", "2.5", "whole number"},
		{"pace", "champion", "beginner, practised, stopwatch"},
		{"pace", "stopwatch", "3 units or more"},
		{"stopwatch", "50 60", "3 units or more"},
		{"stopwatch", "50, 60, 70", "with a point"},
		{"paces", "practised champion", "beginner, practised, stopwatch"},
		{"session_min", "5", "from 20 to 600"},
		{"currency", "euros", "three letters"},
		{"time.stroke", "-5", "from 0 to 3600"},
		{"colour.brick.stock_sheets", "-2", "from 0"},
		{"colour.brick.pack_price", "4,95", "4.99"},
		{"colour.brick.pack_price", "-4", "4.99"},
		{"colour.brick.pack_sheets", "0", "from 1"},
		{"colour.brick.stock_parts", "100", "210x120"},
		{"colour.brick.stock_parts", "99999 × 100x80", "at most 9999 of each"},
		{"colour.brick.stock_parts", "10000 x 100x100", "at most 9999 of each"},
		{"colour.brick.stock_parts", strings.Repeat("100x80, ", 50) + "100x80", "at most 50 sizes"},
		{"colour.brick.stock_parts", "100x80,,", "210x120"},
		{"colour.brick.stock_parts", ",", "210x120"},
		{"colour.brick.sheet", "nothing", ""},
	} {
		s, faults := DefaultSettings().With(f, map[string]string{c.field: c.text})
		require.Len(t, faults, 1, "%s %q", c.field, c.text)
		where := faults[0].Where
		if c.field != "pace" || c.text != "stopwatch" {
			assert.Equal(t, c.field, where)
		}
		assert.NotContains(t, faults[0].What.String()+faults[0].Fix.String(), "[report", c.field)
		assert.Contains(t, faults[0].Fix.String(), c.fix, "%s %q", c.field, c.text)
		assert.Equal(t, DefaultSettings(), s)
	}
}

func TestAllFaultsAreNamedAtOnce(t *testing.T) {
	_, faults := DefaultSettings().With(nil, map[string]string{"people": "0", "spare": "x", "sheet": "?"})
	assert.Len(t, faults, 3)
}

func TestStoredNonsenseIsFoundByValidate(t *testing.T) {
	s := DefaultSettings()
	s.People, s.Spare, s.Currency = -1, 1e300, "?"
	var fields []string
	for _, fault := range s.Validate(nil) {
		fields = append(fields, fault.Where)
	}
	assert.ElementsMatch(t, []string{"people", "spare", "currency"}, fields)
}

func TestEveryFieldHasALabelAndAHelp(t *testing.T) {
	names := map[string]bool{}
	for _, field := range DefaultSettings().Fields(load(t, "contract-example")) {
		assert.NotContains(t, field.Label.String()+field.Help.String(), "[", field.Name)
		assert.False(t, names[field.Name], field.Name)
		assert.NotEmpty(t, field.Group, field.Name)
		names[field.Name] = true
	}
}

func TestWhateverIsTypedNeverPanics(t *testing.T) {
	f := load(t, "contract-example")
	var names []string
	for _, field := range DefaultSettings().Fields(f) {
		names = append(names, field.Name)
	}
	rapid.Check(t, func(t *rapid.T) {
		texts := map[string]string{rapid.SampledFrom(names).Draw(t, "field"): rapid.String().Draw(t, "text")}
		s, faults := DefaultSettings().With(f, texts)
		if len(faults) == 0 && len(s.Validate(f)) > 0 {
			t.Fatalf("accepted settings are not valid: %v", s.Validate(f))
		}
	})
}

func FuzzReadSettings(f *testing.F) {
	f.Add([]byte(`{"people": 3, "colours": {"brick": {"sheet": "A3"}, "x": null}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadSettings(data)
		if err != nil {
			return
		}
		s.Validate(nil)
		if _, err := ReadSettings(s.Write()); err != nil {
			t.Fatal(err)
		}
	})
}

func TestSwatchThatIsMeasuredAnewLosesItsName(t *testing.T) {
	s := DefaultSettings()
	s.Swatch = Swatch{LongMM: 52, ShortMM: 37, Fold: figure.Doubled, Units: 12, Rings: 6, DiameterMM: 44, HeightMM: 60, Name: "Copy paper", RoundingMM: 0.5}
	same, faults := s.With(nil, map[string]string{"sheet": "A3"})
	require.Empty(t, faults)
	assert.Equal(t, "Copy paper", same.Swatch.Name)
	other, faults := s.With(nil, map[string]string{"swatch_height_mm": "61"})
	require.Empty(t, faults)
	assert.Empty(t, other.Swatch.Name)
	assert.Zero(t, other.Swatch.RoundingMM)
}

func TestACommaMayEndTheListOfPartUsedSheets(t *testing.T) {
	f := load(t, "contract-example")
	s := with(t, f, map[string]string{"colour.brick.stock_parts": "210x120, 2 × 100x80, "})
	parts, err := parseParts(s.Colours["brick"].StockParts)
	require.NoError(t, err)
	assert.Equal(t, []paper.PartSheets{{WidthMM: 210, HeightMM: 120, Count: 1}, {WidthMM: 100, HeightMM: 80, Count: 2}}, parts)
	fifty := strings.TrimSuffix(strings.Repeat("9999 × 100x80, ", 50), " ")
	with(t, f, map[string]string{"colour.brick.stock_parts": fifty})
}

// A swatch that an earlier version took and that cannot be as outside measures (12 × 6 of A9, 20 or 65 mm wide: spines of 18.5 mm stand
// out on either side; 300 mm high: no ring rises by 55 mm) costs nobody the report; its size is from memory and says why.
func TestStoredSwatchThatCannotBeLeavesTheReport(t *testing.T) {
	f := load(t, "sixty-eight")
	memory := reportOf(t, f, DefaultSettings())
	for _, measures := range [][2]float64{{20, 60}, {65, 300}} {
		s := DefaultSettings()
		s.Swatch = Swatch{LongMM: 52, ShortMM: 37, Fold: figure.Doubled, Units: 12, Rings: 6, DiameterMM: measures[0], HeightMM: measures[1], Name: "Old tube"}
		stored, err := ReadSettings(s.Write())
		require.NoError(t, err)
		assert.Empty(t, stored.Validate(f))
		r := reportOf(t, f, stored)
		assert.Equal(t, memory.Size, r.Size)
		assert.Contains(t, r.Text(words.English), "Old tube do not fit its paper")
		_, faults := stored.With(f, map[string]string{"people": "3"})
		assert.Empty(t, faults, "other settings can be changed")
		_, faults = stored.With(f, map[string]string{"swatch_height_mm": "301"})
		assert.NotEmpty(t, faults, "what is typed anew must be possible")
	}
}

// Part-used sheets of one size are one entry, so that no list names them twice.
func TestEqualPartSheetsAreOneEntry(t *testing.T) {
	parts, err := parseParts("110x40, 2 × 210x120, 40x110")
	require.NoError(t, err)
	assert.Equal(t, []paper.PartSheets{{WidthMM: 110, HeightMM: 40, Count: 2}, {WidthMM: 210, HeightMM: 120, Count: 2}}, parts)
}
