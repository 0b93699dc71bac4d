package figure

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Names as people give them in many scripts; every one must stay allowed.
var names = []string{
	"Lighthouse",
	"👩\u200d👩\u200d👧\u200d👦",       // a family, joined by ZWJ (UTS #51)
	"\u200D\U0001F525 warm",        // a joiner beside what shows
	"می\u200cخواهم",                // Persian with ZWNJ (UAX #31, 2.3)
	"منارة", "מגדלור", "灯台", "ไทย", // right to left, and scripts without spaces
	"❤️",              // a sign with a variation selector
	"\u200Eabc\u200F", // implicit marks are part of ordinary text in mixed scripts (UAX #9, 2.6)
	"\U0001F3F4\U000E0067\U000E0062\U000E0073\U000E0063\U000E0074\U000E007F", // a flag written with tags (UTS #51)
	"e\u0301",
	"42", "№ 7", "★", "?", // a number, a sign or a mark alone shows too
	"1\uFE0F\u20E3", // a keycap
	"\U0001FAE9",    // an emoji of Unicode 16: the place was kept for one (Extended_Pictographic)
	"crown \uE000",  // private use beside what everybody sees
}

func TestNamesOfEveryScriptAreFine(t *testing.T) {
	for _, name := range names {
		what, _, bad := NameFault(name, MaxTitle, true)
		assert.False(t, bad, "%q: %s", name, what.String())
	}
}

// Default_Ignorable_Code_Point of UAX #44, the directional formatting characters of UAX #9 and the mandatory breaks
// of UAX #14.
func TestNamesThatShowNothingOrReadOtherwiseAreNone(t *testing.T) {
	for name, says := range map[string]string{
		"\u200B":                 "show nothing",
		"\u2060\uFEFF":           "show nothing",
		" \u200B \u00AD":         "show nothing",
		"\u3164":                 "show nothing", // Hangul filler
		"\u115F\u1160":           "show nothing",
		"\u2800":                 "show nothing", // blank Braille
		"\uFE0F\U000E0100":       "show nothing",
		"\U000E0041":             "show nothing",
		"\u2061\u2064":           "show nothing",
		"\u0301":                 "show nothing", // General_Category M: a mark stands on a letter
		"\u0301\u0308\u20DD":     "show nothing",
		"\u0903":                 "show nothing",
		"\uE000":                 "show nothing", // Co: every machine shows it in its own way, or not
		"\U000F0000 \U0010FFFD":  "show nothing",
		"\uFFF9\uFFFA\uFFFB":     "show nothing",    // interlinear annotation (The Unicode Standard, 23.8)
		"\u0378":                 "show nothing",    // no character yet
		"tower\uFFFE":            "cannot be shown", // noncharacters (The Unicode Standard, 23.7)
		"\uFFFF":                 "cannot be shown",
		"a\uFDD0b":               "cannot be shown",
		"a\uFDEF":                "cannot be shown",
		"\U0001FFFEa":            "cannot be shown",
		"a\U0010FFFF":            "cannot be shown",
		"\u3000":                 "empty",
		"\u202Eegamad":           "direction",
		"tower\u202C":            "direction",
		"a\u2066b\u2069":         "direction",
		"\u202Ax":                "direction",
		"two\nlines":             "more than one line",
		"two\u2028lines":         "more than one line",
		"two\u2029parts":         "more than one line",
		"a\u0085b":               "cannot be shown",
		"tab\there":              "cannot be shown",
		"\u0007":                 "cannot be shown",
		"much too long a name ü": "characters",
	} {
		limit := MaxTitle
		if says == "characters" {
			limit = 5
		}
		what, fix, bad := NameFault(name, limit, true)
		require.True(t, bad, "%q", name)
		assert.Contains(t, what.String(), says, "%q", name)
		assert.NotEmpty(t, fix.String())
	}
}

func TestANameMayBeLeftOutButNotHidden(t *testing.T) {
	_, _, bad := NameFault("", 40, false)
	assert.False(t, bad)
	_, _, bad = NameFault("\u200B", 40, false)
	assert.True(t, bad)
}

// namingEdits are all edits that give a name.
func namingEdits(name string) []string {
	quoted, err := json.Marshal(name)
	if err != nil {
		panic(err)
	}
	q := string(quoted)
	return []string{
		`{"do":"set_title","title":` + q + `}`,
		`{"do":"add_colour","name":` + q + `,"hex":"#112233"}`,
		`{"do":"edit_colour","id":"a","name":` + q + `,"hex":"#112233"}`,
		`{"do":"add_extra","extra":{"kind":"glued","name":` + q + `,"ring":1,"at":0,"outline":"disc","diameter_mm":9}}`,
		`{"do":"edit_extra","extra":{"key":1,"kind":"glued","name":` + q + `,"ring":1,"at":0,"outline":"disc","diameter_mm":9}}`,
	}
}

func TestEditsFromOutsideGiveNamesThatShow(t *testing.T) {
	for _, bad := range []string{"\u200B", "gpj.\u202Eowt", "one\ntwo"} {
		for _, raw := range namingEdits(bad) {
			for _, sent := range []string{raw, `{"do":"batch","edits":[{"do":"batch","edits":[` + raw + `]}]}`} {
				_, err := DecodeEdit([]byte(sent))
				var faults Faults
				require.True(t, errors.As(err, &faults), sent)
				assert.Contains(t, faults[0].Where, map[bool]string{true: "title", false: "name"}[raw[7:16] == "set_title"], raw)
			}
			logged, err := decodeLogged([]byte(raw)) // the log of a version that allowed it
			require.NoError(t, err)
			read, err := UnpackEdit(PackEdit(logged))
			require.NoError(t, err)
			assert.Equal(t, logged, read)
		}
	}
	for _, name := range names {
		for _, raw := range namingEdits(name) {
			_, err := DecodeEdit([]byte(raw))
			assert.NoError(t, err, raw)
		}
	}
}

func TestNameFaultsOfADocumentNameTheirPlace(t *testing.T) {
	f := Tube("\u202Etower", Unit{52, 37, Doubled}, []Colour{{ID: "a", Name: "A", Hex: "#112233"}, {ID: "b", Name: "\u200B", Hex: "#112234"}}, 12, 3)
	f.Extras = []Extra{{ID: 1, Kind: Glued, Outline: Disc, Name: "an\neye", Ring: 1, Diameter: 9}}
	f.NextExtra = 2
	stored, err := Read(f.Write())
	require.NoError(t, err, "a figure that is stored already stays readable")
	assert.Equal(t, f.Write(), stored.Write())
	var where []string
	for _, fault := range f.NameFaults() {
		where = append(where, fault.Where)
	}
	assert.Equal(t, []string{"title", "colours[1].name", "extras[0].name"}, where)
	f.Title, f.Colours[1].Name, f.Extras[0].Name = names[0], names[1], names[2]
	assert.Empty(t, f.NameFaults())
}

// A note is text like a name: what hides or turns its direction is refused from outside. It may have lines, and be empty.
func TestNotesFromOutsideReadAsTheyAreWritten(t *testing.T) {
	send := func(after, note string) []byte {
		raw, err := json.Marshal(map[string]any{"do": "ring_note", "ring": 1, "after": after, "note": note})
		require.NoError(t, err)
		return raw
	}
	for bad, says := range map[string]string{
		"turn \u202Etfel": "direction", "\u2068turn": "direction", "\u200B": "show nothing", "\n\u200B": "show nothing",
		"\u0301": "show nothing", "turn\uFFFE": "cannot be shown",
	} {
		for where, raw := range map[string][]byte{"after": send(bad, "fine"), "note": send("fine", bad)} {
			for _, sent := range []string{string(raw), `{"do":"batch","edits":[` + string(raw) + `]}`} {
				_, err := DecodeEdit([]byte(sent))
				var faults Faults
				require.True(t, errors.As(err, &faults), "%q", bad)
				assert.Contains(t, faults[0].Where, where)
				assert.Contains(t, faults[0].What.String(), says, "%q", bad)
				assert.Contains(t, faults[0].What.String(), map[bool]string{true: "text", false: "note"}[says == "cannot be shown"])
			}
			logged, err := decodeLogged(raw) // the log of a version that allowed it
			require.NoError(t, err)
			read, err := UnpackEdit(PackEdit(logged))
			require.NoError(t, err)
			assert.Equal(t, logged, read)
		}
	}
	for _, fine := range append([]string{"", "open out\nover two rows", "\n"}, names...) {
		_, err := DecodeEdit(send(fine, fine))
		assert.NoError(t, err, "%q", fine)
	}
}

func TestNoteFaultsOfADocumentNameTheirPlace(t *testing.T) {
	f := Tube("tower", Unit{52, 37, Doubled}, []Colour{{ID: "a", Name: "A", Hex: "#112233"}}, 12, 3)
	f.Rings[1].After, f.Rings[2].Note = "\u202Eturn", "two\nlines\u2068"
	stored, err := Read(f.Write())
	require.NoError(t, err, "a figure that is stored already stays readable")
	assert.Equal(t, f.Write(), stored.Write())
	var where []string
	for _, fault := range f.NameFaults() {
		where = append(where, fault.Where)
	}
	assert.Equal(t, []string{"rings[1].after", "rings[2].note"}, where)
	tall := Tube("tower", Unit{52, 37, Doubled}, []Colour{{ID: "a", Name: "A", Hex: "#112233"}}, 3, MaxFaults+5)
	for i := range tall.Rings {
		tall.Rings[i].Note = "\u202E"
	}
	assert.Equal(t, MaxFaults+5, tall.NameFaults().Count())
	assert.Len(t, tall.NameFaults(), MaxFaults+1, "the last stands for the rest")
}

// Names of parts keep the rule of names too, as edits give them and as documents do (found by an attack).
func TestNamesOfPartsShowSomething(t *testing.T) {
	for _, name := range []string{`\u202ex`, `\u200b\u200b`} {
		for _, text := range []string{
			`{"do":"grow","on":3,"point":36,"as":"chain","rows":3,"colour":"chalk","name":"` + name + `"}`,
			`{"do":"set_on","on":3,"how":"glued","name":"` + name + `","colour":"chalk","units":6,"rows":2}`,
			`{"do":"add_twin","part":4,"name":"` + name + `"}`,
			`{"do":"edit_part","part":2,"name":"` + name + `"}`,
		} {
			_, err := DecodeEdit([]byte(text))
			assert.Error(t, err, text)
		}
	}
	for _, change := range [][]string{{`"Neck"`, `"\u202eNeck"`}, {`"neck"`, `"\u202eneck"`}} {
		f := readParts(t, strings.NewReplacer(change...).Replace(swanText(t)))
		assert.NotEmpty(t, f.NameFaults(), change)
	}
}
