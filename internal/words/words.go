// Package words holds every sentence that people read: pages, findings, errors, build text.
// The sentences stand in en/*.en.toml, one file an area, in the message format of
// nicksnyder/go-i18n; a further language is a further folder of the same keys. Code carries a Text
// (a key and its values) and turns it into a sentence only where it is shown, so that a
// person's own language can be used there.
package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"log/slog"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"
	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"
)

//go:embed en/*.toml
var files embed.FS

// Args are the values that a sentence names, by the name used in the catalogue.
// The value "Count" chooses between singular and plural.
type Args map[string]any

// Text is a sentence not yet said: its key in the catalogue and the values it names. The zero Text says
// nothing.
type Text struct {
	Key  string
	Args Args
}

// T makes a Text from pairs of names and values: T("figure.units", "Count", 3).
func T(key string, pairs ...any) Text {
	if len(pairs) == 0 {
		return Text{Key: key}
	}
	args := make(Args, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		args[pairs[i].(string)] = pairs[i+1]
	}
	return Text{Key: key, Args: args}
}

// Among puts a key together from a prefix and a part that comes from outside the code, such as a month
// or a field of an address. The part must be one of parts, so that the code says which sentences it can
// say; with any other the key is none, and the sentence is said as missing.
func Among(prefix, part string, parts ...string) string {
	if !slices.Contains(parts, part) {
		return prefix + "?"
	}
	return prefix + part
}

// Error says the text in English, so that a Text can travel as an error.
func (t Text) Error() string { return English.Say(t) }

// String says the text in English.
func (t Text) String() string { return English.Say(t) }

// MarshalJSON writes the sentence in English.
func (t Text) MarshalJSON() ([]byte, error) { return json.Marshal(English.Say(t)) }

// Speaker says texts in one language.
type Speaker struct {
	lang string
	loc  *i18n.Localizer

	mu   sync.Mutex
	said map[string]string // short sentences said lately; the names of steps are the same over and over
}

// keepSaid is how many sentences a speaker remembers.
const keepSaid = 1000

var (
	bundle    = load()
	sentences = about(Catalogue(""))
)

// English is the speaker of the complete catalogue.
var English = For("en")

func load() *i18n.Bundle {
	b := i18n.NewBundle(language.English)
	b.RegisterUnmarshalFunc("toml", toml.Unmarshal)
	names, err := fs.Glob(files, "*/*.toml")
	if err != nil {
		panic(err)
	}
	for _, name := range names {
		if _, err := b.LoadMessageFileFS(files, name); err != nil {
			panic(fmt.Sprintf("words: %s: %v", name, err))
		}
	}
	return b
}

// For returns a speaker for the first language it knows of the given ones
// (Accept-Language headers are fine), English otherwise.
func For(languages ...string) *Speaker {
	return &Speaker{lang: "en", loc: i18n.NewLocalizer(bundle, languages...)}
}

// Lang is the BCP 47 tag for the page's lang attribute.
func (s *Speaker) Lang() string { return s.lang }

// Say turns a text into a sentence. Values that are texts themselves are said first.
//
// It always gives something a person can read, never a raw key. A key that the catalogue lacks is said as
// "words.missing", a value that was not given as an ellipsis, and either is told to the log. That keys and
// values are whole is what the tests of this package see to, for all code.
func (s *Speaker) Say(t Text) string {
	key, plain := t.plain()
	if plain {
		s.mu.Lock()
		out, known := s.said[key]
		s.mu.Unlock()
		if known {
			return out
		}
	}
	out := s.sayAnew(t)
	if plain {
		s.mu.Lock()
		if s.said == nil || len(s.said) >= keepSaid {
			s.said = map[string]string{}
		}
		s.said[key] = out
		s.mu.Unlock()
	}
	return out
}

// plain gives a text that stands for a sentence of few and short values alone; ok is false for any other.
func (t Text) plain() (key string, ok bool) {
	if len(t.Args) > 2 {
		return "", false
	}
	b := make([]byte, 0, 64)
	b = append(b, t.Key...)
	for _, name := range slices.Sorted(maps.Keys(t.Args)) {
		b = append(append(append(b, 0), name...), '=')
		switch v := t.Args[name].(type) {
		case string:
			b = append(append(b, 's'), strconv.Quote(v)...)
		case int:
			b = strconv.AppendInt(append(b, 'i'), int64(v), 10)
		default:
			return "", false
		}
	}
	return string(b), len(b) <= 200
}

func (s *Speaker) sayAnew(t Text) string {
	if t.Key == "" {
		return ""
	}
	sentence, known := sentences[t.Key]
	if !known {
		complain(t.Key, "the catalogue lacks this sentence")
		return s.missing(t.Key)
	}
	data := make(map[string]any, len(t.Args))
	for k, v := range t.Args {
		if inner, ok := v.(Text); ok {
			v = s.Say(inner)
		}
		data[k] = v
	}
	for _, name := range sentence.names {
		if v, given := data[name]; !given || v == nil {
			complain(t.Key, "no value was given for "+name)
			data[name] = "…"
		}
	}
	cfg := &i18n.LocalizeConfig{MessageID: t.Key, TemplateData: data}
	if sentence.varies {
		cfg.PluralCount = countOf(data["Count"])
	}
	out, err := s.loc.Localize(cfg)
	if err != nil {
		complain(t.Key, err.Error())
	}
	if out == "" && err != nil {
		return s.missing(t.Key)
	}
	return out
}

// missingKey is the sentence that stands for one that cannot be said.
const missingKey = "words.missing"

func (s *Speaker) missing(key string) string {
	if key == missingKey {
		return "…"
	}
	return s.Say(Text{Key: missingKey})
}

// countOf gives a number as the rules of plurals read it, nil for what is no number or a longer one than
// they can read: it takes the form "other".
func countOf(v any) any {
	text := ""
	switch n := reflect.ValueOf(v); {
	case n.CanInt():
		text = strconv.FormatInt(n.Int(), 10)
	case n.CanUint():
		text = strconv.FormatUint(n.Uint(), 10)
	case n.CanFloat():
		text = strconv.FormatFloat(n.Float(), 'f', -1, 64)
	case n.Kind() == reflect.String:
		text = n.String()
	}
	if !aCount.MatchString(text) {
		return nil
	}
	return text
}

var aCount = regexp.MustCompile(`^-?\d{1,15}(\.\d{1,15})?$`)

// flaws are the sentences that could not be said as meant, so that each is told to the log once.
var flaws sync.Map

func complain(key, why string) {
	if _, told := flaws.LoadOrStore(key+": "+why, true); !told {
		slog.Error("a sentence cannot be said as meant", "key", key, "why", why)
	}
}

// Flaws are the keys of the sentences that this process could not say as meant, each with the reason. Tests
// of whole pages end with a look at them.
func Flaws() []string {
	var out []string
	flaws.Range(func(flaw, _ any) bool {
		out = append(out, flaw.(string))
		return true
	})
	slices.Sort(out)
	return out
}

// T says a text given by key and pairs, for templates.
func (s *Speaker) T(key string, pairs ...any) string { return s.Say(T(key, pairs...)) }

// Catalogue returns the raw sentences whose keys start with prefix, by key and plural form, for
// the browser's client. The client fills in {{.Name}} itself.
func Catalogue(prefix string) map[string]map[string]string { return CatalogueOf("en", prefix) }

// CatalogueOf is the Catalogue of one language, which is the name of a folder beside en.
func CatalogueOf(lang, prefix string) map[string]map[string]string {
	out := map[string]map[string]string{}
	names, _ := fs.Glob(files, lang+"/*.toml")
	for _, name := range names {
		raw, err := files.ReadFile(name)
		if err != nil {
			panic(err)
		}
		var m map[string]any
		if err := toml.Unmarshal(raw, &m); err != nil {
			panic(err)
		}
		flatten("", m, func(key string, forms map[string]string) {
			if strings.HasPrefix(key, prefix) {
				out[key] = forms
			}
		})
	}
	return out
}

// Names are the values that a sentence names in any of its forms, sorted.
func Names(forms map[string]string) []string {
	var out []string
	for _, text := range forms {
		for _, found := range aName.FindAllStringSubmatch(text, -1) {
			if !slices.Contains(out, found[1]) {
				out = append(out, found[1])
			}
		}
	}
	slices.Sort(out)
	return out
}

var aName = regexp.MustCompile(`\{\{\s*\.(\w+)\s*\}\}`)

// sentence is what must be known of one to say it.
type sentence struct {
	names  []string // the values that it names
	varies bool     // it has other forms than one for all numbers, and Count chooses
}

func about(catalogue map[string]map[string]string) map[string]sentence {
	out := make(map[string]sentence, len(catalogue))
	for key, forms := range catalogue {
		out[key] = sentence{Names(forms), len(forms) > 1}
	}
	return out
}

func flatten(at string, m map[string]any, emit func(string, map[string]string)) {
	forms := map[string]string{}
	for k, v := range m {
		key := k
		if at != "" {
			key = at + "." + k
		}
		switch v := v.(type) {
		case map[string]any:
			flatten(key, v, emit)
		case string:
			switch k {
			case "zero", "one", "two", "few", "many", "other":
				forms[k] = v
			case "description":
			default:
				emit(key, map[string]string{"other": v})
			}
		}
	}
	if len(forms) > 0 {
		emit(at, forms)
	}
}
