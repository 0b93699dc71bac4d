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
	"maps"
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

// Text is a sentence not yet said: its key in the catalogue and the values it names.
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

var bundle = load()

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

// Say turns a text into a sentence. Values that are texts themselves are said first. A key that the
// catalogue lacks is shown in brackets, so that it is seen; a test keeps the catalogue whole.
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
	data := make(map[string]any, len(t.Args))
	for k, v := range t.Args {
		if inner, ok := v.(Text); ok {
			v = s.Say(inner)
		}
		data[k] = v
	}
	cfg := &i18n.LocalizeConfig{MessageID: t.Key, TemplateData: data}
	if n, ok := data["Count"]; ok {
		cfg.PluralCount = n
	}
	out, err := s.loc.Localize(cfg)
	if err != nil {
		return "[" + t.Key + "]"
	}
	return out
}

// T says a text given by key and pairs, for templates.
func (s *Speaker) T(key string, pairs ...any) string { return s.Say(T(key, pairs...)) }

// Catalogue returns the raw sentences whose keys start with prefix, by key and plural form, for
// the browser's client. The client fills in {{.Name}} itself.
func Catalogue(prefix string) map[string]map[string]string {
	out := map[string]map[string]string{}
	names, _ := fs.Glob(files, "en/*.toml")
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
