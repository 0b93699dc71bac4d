package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
)

// roots are the types that travel by themselves; whatever they hold comes along.
var roots = []any{
	wire.State{}, wire.EditsAsk{}, wire.EditsAnswer{}, wire.Problem{}, wire.TryAsk{}, wire.Trial{}, wire.HereAsk{},
	wire.HistoryList{}, wire.Found{}, wire.Scene{}, wire.ReadyPaper{}, wire.OnShelf{}, wire.Rings{},
	wire.PictureKept{}, wire.PictureAsk{}, wire.PictureTrial{}, wire.SheetsAsk{}, wire.SheetsRead{}, wire.Folding{},
}

// names are those types that go by another name in TypeScript, where there is one room for all: Go tells them apart
// by their packages, and the browser's code has a Ring and a Model of its own.
var names = map[reflect.Type]string{
	reflect.TypeFor[wire.Ring]():       "RingWire",
	reflect.TypeFor[wire.State]():      "StateWire",
	reflect.TypeFor[figure.PaintRun](): "EditRun",
	reflect.TypeFor[figure.Kind]():     "ExtraKind",
	reflect.TypeFor[store.Kind]():      "StepKind",
	reflect.TypeFor[findings.Cell]():   "FoundCell",
}

// writers are the types that write themselves, but just as their fields are declared.
var writers = map[reflect.Type]bool{
	reflect.TypeFor[findings.Finding](): true,
	reflect.TypeFor[figure.Batch]():     true,
}

var (
	marshaler = reflect.TypeFor[json.Marshaler]()
	texter    = reflect.TypeFor[interface{ MarshalText() ([]byte, error) }]()
	// texts are the types that write themselves as one string.
	texts = map[reflect.Type]bool{reflect.TypeFor[words.Text](): true, reflect.TypeFor[time.Time](): true}
)

// form is what a value looks like in JSON.
type form struct {
	kind   string   // string, number, boolean, list, tuple, one (of values), of (a named type)
	elem   *form    // of a list or tuple
	n      int      // of a tuple
	values []string // of one
	name   string   // of of
}

// field is a field of an object.
type field struct {
	name     string
	index    []int
	optional bool
	form     form
	doc      string
}

// named is a type with a name.
type named struct {
	name   string
	doc    string
	do     string   // of an edit: what stands in "do"
	fields []field  // of an object
	values []string // of a string with few values
	kinds  []string // of a union by "do": the names of its members
	from   reflect.Type
}

// model is all that is to be written. The first thing that has no form in TypeScript ends it with err.
type model struct {
	source *source
	named  map[string]*named
	seen   map[reflect.Type]string
	events map[string]form
	err    error
}

func newModel(root string) *model {
	return &model{source: newSource(root), named: map[string]*named{}, seen: map[reflect.Type]string{}, events: map[string]form{}}
}

func (m *model) fail(format string, args ...any) form {
	m.err = errors.Join(m.err, fmt.Errorf(format, args...))
	return form{kind: "never"}
}

// addWire adds all of package wire, the edits and the events.
func (m *model) addWire() {
	m.addUnion("Edit", "An edit that the page may send; figure.DecodeEdit reads it.", m.edits(figure.EditKinds()))
	m.addUnion("Ask", "What a step asks for: an edit, or something about the log.", append(m.asks(), "Edit"))
	for _, root := range roots {
		m.formOf(reflect.TypeOf(root), "", "")
	}
	for _, name := range slices.Sorted(maps.Keys(wire.Events)) {
		m.events[name] = m.formOf(reflect.TypeOf(wire.Events[name]), "", "event "+name)
	}
}

// edits adds every kind of edit as an object with its "do".
func (m *model) edits(kinds []figure.EditKind) []string {
	var out []string
	for _, kind := range kinds {
		out = append(out, m.addKind(kind.Do, reflect.TypeOf(kind.Empty).Elem()))
	}
	return out
}

func (m *model) asks() []string {
	var out []string
	for _, kind := range slices.Sorted(maps.Keys(wire.Asks)) {
		t := reflect.TypeOf(wire.Asks[kind])
		if t.Name() != "" {
			out = append(out, m.addKind(string(kind), t))
			continue
		}
		name := strings.ToUpper(string(kind[:1])) + string(kind[1:])
		m.put(&named{name: name, do: string(kind), from: t})
		out = append(out, name)
	}
	return out
}

// addKind adds an object that is told from others by its "do".
func (m *model) addKind(do string, t reflect.Type) string {
	name := m.formOf(t, "", do).name
	if n := m.named[name]; n != nil {
		n.do = do
	}
	return name
}

func (m *model) addUnion(name, doc string, kinds []string) {
	m.put(&named{name: name, doc: doc, kinds: kinds})
}

// put adds a type; two of one name are a mistake, which names or another name in Go puts right.
func (m *model) put(n *named) {
	if m.named[n.name] != nil {
		m.fail("two types are called %s in TypeScript: give one of them another name (names in model.go)", n.name)
	}
	m.named[n.name] = n
}

// formOf is what a value of a type looks like. where says in errors which value it is.
func (m *model) formOf(t reflect.Type, tag reflect.StructTag, where string) form {
	if name := tag.Get("wire"); name != "" {
		return form{kind: "of", name: name}
	}
	switch {
	case texts[t]:
		return form{kind: "string"}
	case t == reflect.TypeFor[figure.Edit]():
		return form{kind: "of", name: "Edit"}
	case t.Kind() == reflect.Pointer:
		return m.formOf(t.Elem(), tag, where)
	case writesItself(t) && !writers[t]:
		return m.fail("%s: %s writes itself as JSON: say how it looks (texts, writers or the tag wire)", where, t)
	}
	switch t.Kind() {
	case reflect.String:
		return m.stringForm(t, tag, where)
	case reflect.Bool:
		return form{kind: "boolean"}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64, reflect.Uint, reflect.Uint8, reflect.Uint16,
		reflect.Uint32, reflect.Float32, reflect.Float64:
		return form{kind: "number"}
	case reflect.Slice:
		elem := m.formOf(t.Elem(), tag, where)
		return form{kind: "list", elem: &elem}
	case reflect.Array:
		elem := m.formOf(t.Elem(), tag, where)
		return form{kind: "tuple", elem: &elem, n: t.Len()}
	case reflect.Struct:
		return m.object(t, where)
	}
	return m.fail("%s: %s has no form in TypeScript", where, t)
}

func writesItself(t reflect.Type) bool {
	p := reflect.PointerTo(t)
	return p.Implements(marshaler) || p.Implements(texter)
}

// stringForm is any string, or one of the values of a named string.
func (m *model) stringForm(t reflect.Type, tag reflect.StructTag, where string) form {
	if values := tag.Get("oneof"); values != "" {
		return form{kind: "one", values: strings.Split(values, ",")}
	}
	if t.PkgPath() == "" {
		return form{kind: "string"}
	}
	if name, ok := m.seen[t]; ok {
		return form{kind: "of", name: name}
	}
	values, doc, err := m.source.values(t)
	if err != nil {
		return m.fail("%s: %w", where, err)
	}
	name := nameOf(t)
	m.seen[t] = name
	m.put(&named{name: name, doc: doc, values: values, from: t})
	return form{kind: "of", name: name}
}

func nameOf(t reflect.Type) string {
	if name, ok := names[t]; ok {
		return name
	}
	return t.Name()
}

func (m *model) object(t reflect.Type, where string) form {
	if t.Name() == "" {
		return m.fail("%s: a struct without a name", where)
	}
	if name, ok := m.seen[t]; ok {
		return form{kind: "of", name: name}
	}
	name := nameOf(t)
	m.seen[t] = name
	doc, err := m.source.doc(t)
	if err != nil {
		return m.fail("%s: %w", where, err)
	}
	n := &named{name: name, doc: doc, from: t}
	m.put(n)
	n.fields = m.fields(t)
	return form{kind: "of", name: name}
}

// fields are the fields of a struct as encoding/json writes them: those of embedded structs among them, but for
// those that the struct has itself.
func (m *model) fields(t reflect.Type) []field {
	own := map[string]bool{}
	for i := range t.NumField() {
		if f := t.Field(i); !f.Anonymous {
			own[jsonName(f)] = true
		}
	}
	var out []field
	for i := range t.NumField() {
		f := t.Field(i)
		tag := f.Tag.Get("json")
		switch {
		case f.Anonymous && tag == "":
			for _, inner := range m.fields(f.Type) {
				if !own[inner.name] {
					inner.index = append([]int{i}, inner.index...)
					out = append(out, inner)
				}
			}
		case !f.IsExported() || tag == "-":
		default:
			where := t.String() + "." + f.Name
			optional := strings.Contains(tag, ",omitempty")
			if f.Type.Kind() == reflect.Pointer && !optional {
				m.fail("%s would travel as null: leave it out when there is none (omitempty)", where)
			}
			out = append(out, field{name: jsonName(f), index: []int{i}, optional: optional, form: m.formOf(f.Type, f.Tag, where), doc: m.source.fieldDoc(t, f.Name)})
		}
	}
	return out
}

func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if name == "" {
		return f.Name
	}
	return name
}
