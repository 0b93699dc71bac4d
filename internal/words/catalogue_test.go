package words_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"tuckring/internal/words"
)

// kept are sentences that no code says any more, for the logs of older designs, which name them.
var kept = []string{"store.did.restore", "figure.did.turn"}

// uses are what the Go code says; reading all of it takes some seconds.
var uses = sync.OnceValues(func() ([]use, error) { return usesOf("../..") })

func TestEverySentenceThatTheCodeSaysIsInTheCatalogue(t *testing.T) {
	list, err := uses()
	require.NoError(t, err)
	require.Greater(t, len(list), 1000, "the code was read")
	catalogue := words.Catalogue("")
	for _, u := range list {
		if u.vague != "" {
			t.Errorf("%s: which sentence is said, or with which values, cannot be told: %s. Write the keys out, or name the parts with words.Among.", u.at, u.vague)
		}
		for _, key := range u.keys {
			if _, known := catalogue[key]; !known {
				t.Errorf("%s: no sentence is called %q. Write it in internal/words/en.", u.at, key)
			}
		}
	}
}

func TestEverySentenceIsGivenTheValuesItNames(t *testing.T) {
	list, err := uses()
	require.NoError(t, err)
	catalogue := words.Catalogue("")
	for _, u := range list {
		for _, key := range u.keys {
			for _, name := range wanted(catalogue[key]) {
				if !slices.Contains(u.given, name) {
					t.Errorf("%s: the sentence %q names %s, which is not among the values given: %s", u.at, key, name, strings.Join(u.given, ", "))
				}
			}
		}
	}
}

// wanted are the values a sentence needs: those it names, and the one that chooses its form.
func wanted(forms map[string]string) []string {
	names := words.Names(forms)
	if len(forms) > 1 && !slices.Contains(names, "Count") {
		names = append(names, "Count")
	}
	return names
}

// aText is a text in TypeScript, `…${…}…` among them; a part that varies stands for any.
var (
	aText     = regexp.MustCompile(`"([^"\n\\]*)"`)
	aTemplate = regexp.MustCompile("`([^`]+)`")
	aHole     = regexp.MustCompile(`\$\{[^}]*\}`)
	aScript   = regexp.MustCompile(`\.ts$`)
)

// spoken are the texts that stand in the browser's TypeScript, which a key can be; whether each key that the
// client says exists, and is given its values, is what the compiler checks (see internal/words/sentences).
func spoken(t *testing.T) []*regexp.Regexp {
	t.Helper()
	var out []*regexp.Regexp
	require.NoError(t, filepath.WalkDir("../../web/client", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == "node_modules" || d.Name() == "test") {
			return skipDir(err)
		}
		if d.IsDir() || !aScript.MatchString(path) || strings.HasSuffix(path, ".d.ts") {
			return nil
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, found := range append(aText.FindAllStringSubmatch(string(source), -1), aTemplate.FindAllStringSubmatch(string(source), -1)...) {
			if pattern := keyPattern(found[1]); strings.ContainsFunc(pattern, unicode.IsLower) {
				out = append(out, regexp.MustCompile("^"+strings.ReplaceAll(pattern, "\x00", `[\w.]+`)+"$"))
			}
		}
		return nil
	}))
	require.Greater(t, len(out), 500, "the client was read")
	return out
}

// keyPattern is the keys that a text can be: a part that varies is any, or one of the texts that stand in it.
func keyPattern(text string) string {
	at, out := 0, ""
	for _, hole := range aHole.FindAllStringIndex(text, -1) {
		out += regexp.QuoteMeta(text[at:hole[0]])
		at = hole[1]
		var choices []string
		for _, choice := range aText.FindAllStringSubmatch(text[hole[0]:hole[1]], -1) {
			choices = append(choices, regexp.QuoteMeta(choice[1]))
		}
		if len(choices) == 0 {
			out += "\x00"
		} else {
			out += "(" + strings.Join(choices, "|") + ")"
		}
	}
	return out + regexp.QuoteMeta(text[at:])
}

func skipDir(err error) error {
	if err != nil {
		return err
	}
	return filepath.SkipDir
}

func TestNoSentenceStandsInTheCatalogueUnused(t *testing.T) {
	list, err := uses()
	require.NoError(t, err)
	used := map[string]bool{"words.missing": true} // said by Say itself
	for _, u := range list {
		for _, key := range u.keys {
			used[key] = true
		}
	}
	texts := spoken(t)
	for _, key := range slices.Sorted(maps.Keys(words.Catalogue(""))) {
		short, client := strings.CutPrefix(key, "client.")
		switch {
		case slices.Contains(kept, key):
			assert.False(t, used[key], "%s is said again: it is not only kept for old logs", key)
		case client:
			if !slices.ContainsFunc(texts, func(r *regexp.Regexp) bool { return r.MatchString(short) }) {
				t.Errorf("the browser says %q nowhere", key)
			}
		case !used[key]:
			t.Errorf("%q is said nowhere", key)
		}
	}
}

// languages are the folders of the catalogue.
func languages(t *testing.T) []string {
	t.Helper()
	dirs, err := os.ReadDir(".")
	require.NoError(t, err)
	var out []string
	for _, d := range dirs {
		if _, err := language.Parse(d.Name()); err == nil && d.IsDir() && len(d.Name()) < 4 {
			out = append(out, d.Name())
		}
	}
	require.Contains(t, out, "en")
	return out
}

// formsOf are the plural forms that a language has for whole numbers, by CLDR.
func formsOf(lang string) []string {
	names := map[plural.Form]string{plural.Other: "other", plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many"}
	found := map[string]bool{"other": true}
	for n := range 2000 {
		found[names[plural.Cardinal.MatchPlural(language.Make(lang), n, 0, 0, 0, 0)]] = true
	}
	return slices.Sorted(maps.Keys(found))
}

func TestEveryLanguageHasEverySentenceInEveryForm(t *testing.T) {
	english := words.Catalogue("")
	for _, lang := range languages(t) {
		catalogue := words.CatalogueOf(lang, "")
		assert.Equal(t, slices.Sorted(maps.Keys(english)), slices.Sorted(maps.Keys(catalogue)), lang)
		for key, forms := range catalogue {
			if slices.Contains(words.Names(forms), "Count") || len(forms) > 1 {
				assert.Equal(t, formsOf(lang), slices.Sorted(maps.Keys(forms)), "%s: the forms of %s", lang, key)
			}
			assert.Equal(t, words.Names(english[key]), words.Names(forms), "%s: the values of %s", lang, key)
			for form, text := range forms {
				assert.NotContains(t, aValue.ReplaceAllString(text, ""), "{{", "%s: %s (%s) holds something else than values", lang, key, form)
				assert.NotEmpty(t, strings.TrimRight(text, " \n"), "%s: %s (%s) is empty", lang, key, form)
			}
		}
	}
}

var aValue = regexp.MustCompile(`\{\{\.\w+\}\}`)

func TestEverySentenceIsSaidWithEveryCount(t *testing.T) {
	var log bytes.Buffer
	was := slog.Default()
	slog.SetDefault(slog.New(slog.NewTextHandler(&log, nil)))
	defer slog.SetDefault(was)
	for _, lang := range languages(t) {
		say := words.For(lang)
		for key, forms := range words.CatalogueOf(lang, "") {
			for _, count := range []any{0, 1, 2, 5, 1000, -1, -7, 0.5, 1.5, -2.25, "0.5", "12", "1–3", int64(1), uint8(1), float32(1)} {
				args := words.Args{"Count": count}
				for _, name := range words.Names(forms) {
					if name != "Count" {
						args[name] = "‹" + name + "›"
					}
				}
				said := say.Say(words.Text{Key: key, Args: args})
				for _, name := range namedInAll(forms) {
					if name != "Count" {
						assert.Contains(t, said, args[name], "%s: %s with %v", lang, key, count)
					}
				}
				for _, flaw := range []string{"<no value>", "{{", "…›", "[" + key, "%!"} {
					assert.NotContains(t, said, flaw, "%s: %s with %v", lang, key, count)
				}
				if key != "words.missing" && key != "client.missing" {
					assert.NotEqual(t, say.T("words.missing"), said, "%s: %s with %v", lang, key, count)
				}
			}
		}
	}
	assert.Empty(t, log.String(), "what could not be said as meant is told to the log")
}

// namedInAll are the values that every form of a sentence names.
func namedInAll(forms map[string]string) []string {
	out := words.Names(forms)
	for _, text := range forms {
		one := words.Names(map[string]string{"other": text})
		out = slices.DeleteFunc(out, func(name string) bool { return !slices.Contains(one, name) })
	}
	return out
}

// A number that can be one needs a form for one: only "Count" chooses it. These never are one: bounds and
// sums that are larger by the rules of the document (3 units or more in a ring) or the house's own constants.
var neverOne = map[string]string{
	"Max": "", "Min": "", "Most": "", "High": "", "Few": "", "Timed": "", "Minutes": "", "Total": "", "Bytes": "",
	"Length": "figure.text.long", "Units": "", "BelowUnits": "", "Found": "", "Times": "paper.layout.stops.again",
	"Rings": "shape.swatch.height.unlikely findings.straight sizepage.swatch.about",
}

func TestNumbersThatCanBeOneChooseTheForm(t *testing.T) {
	for key, forms := range words.Catalogue("") {
		if slices.Contains(kept, key) {
			continue
		}
		for _, text := range forms {
			for _, m := range aPlural.FindAllStringSubmatch(text, -1) {
				where, never := neverOne[m[1]]
				if m[1] != "Count" && !(never && (where == "" || slices.Contains(strings.Fields(where), key))) {
					t.Errorf("%s: %q is wrong when %s is one. Give it as a text with a Count of its own.", key, m[0], m[1])
				}
			}
		}
		if one := forms["one"]; one != "" {
			for _, m := range aPlural.FindAllStringSubmatch(one, -1) {
				assert.NotEqual(t, "Count", m[1], "%s: %q in the form for one", key, m[0])
			}
		}
	}
}

var aPlural = regexp.MustCompile(`\{\{\.(\w+)\}\} (?:more |other |single |whole |glued |tucked |spare )?(?:units|rings|points|cuts|stacks|extras|pieces|sheets|steps|people|colours|characters|bytes|places|runs|edits|minutes|packs|faults|warnings|hints|sessions|spares|figures|entries)\b`)

func TestUnknownKeyNeverReachesAPage(t *testing.T) {
	var log bytes.Buffer
	was := slog.Default()
	slog.SetDefault(slog.New(slog.NewTextHandler(&log, nil)))
	defer slog.SetDefault(was)
	for range 3 {
		assert.Equal(t, "(a sentence is missing here)", words.English.T("no.such.key"))
	}
	assert.Equal(t, "… units", words.English.T("figure.units"))
	assert.Equal(t, "It has (a sentence is missing here).", strings.Replace("It has X.", "X", words.T(words.Among("no.", "x", "y")).String(), 1))
	assert.Equal(t, 1, strings.Count(log.String(), "no.such.key"), "told once: %s", &log)
	assert.Contains(t, log.String(), "no value was given for Count")
	assert.Contains(t, log.String(), "no.?")
}

// With one glued piece of a kind the shopping list said "[list.glued]".
func TestOnePieceOfAKindIsSaid(t *testing.T) {
	assert.Equal(t, "1 × disc of 50 mm", words.English.Say(words.T("list.glued", "Count", 1, "Size", words.T("list.glued.disc", "Width", "50"))))
	assert.Equal(t, "1 × eye", words.English.T("cutpage.fits", "Count", 1, "Name", "eye"))
}

func ExampleAmong() {
	fmt.Println(words.T(words.Among("web.month.", "03", "01", "02", "03")))
	fmt.Println(words.T(words.Among("web.month.", "13", "01", "02", "03")))
	// Output:
	// March
	// (a sentence is missing here)
}
