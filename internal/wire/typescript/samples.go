package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	unit "tuckring/internal/fold"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
)

// samples writes samples.ts: of every type a value with all it may have and one with no more than it must have, as
// encoding/json writes them, and what a real figure and its edits give.
func (m *model) samples() ([]byte, error) {
	var out bytes.Buffer
	out.WriteString(head)
	out.WriteString("// Values of every type as Go writes them: with all they may have, with no more than they must have, and from a real\n// figure. The compiler and test/wire.test.ts hold them against types.ts.\n")
	out.WriteString("import type { Events, Wire } from \"./types\";\n\nexport const samples: { readonly [N in keyof Wire]: readonly Wire[N][] } = {\n")
	real, err := fromFigure()
	if err != nil {
		return nil, err
	}
	for _, name := range slices.Sorted(maps.Keys(m.named)) {
		values, err := m.samplesOf(m.named[name])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		fmt.Fprintf(&out, "  %s: [\n", name)
		for _, v := range append(values, real[name]...) {
			fmt.Fprintf(&out, "    %s,\n", v)
		}
		out.WriteString("  ],\n")
	}
	out.WriteString("};\n\nexport const events: { readonly [N in keyof Events]: readonly Events[N][] } = {\n")
	for _, name := range slices.Sorted(maps.Keys(wire.Events)) {
		full, bare := m.filled(reflect.TypeOf(wire.Events[name]))
		fmt.Fprintf(&out, "  %s: [%s, %s],\n", name, full, bare)
	}
	out.WriteString("};\n")
	return out.Bytes(), m.err
}

// samplesOf are values of a type as JSON; of a union, of each of its members.
func (m *model) samplesOf(n *named) (out []string, err error) {
	switch {
	case n.values != nil:
		for _, v := range n.values {
			out = append(out, literal(v))
		}
	case n.kinds != nil:
		for _, kind := range n.kinds {
			if m.named[kind].kinds != nil {
				continue // a union within has samples of its own
			}
			more, err := m.samplesOf(m.named[kind])
			if err != nil {
				return nil, err
			}
			out = append(out, more...)
		}
	default:
		full, bare := m.filled(n.from)
		if n.do == "" {
			return []string{full, bare}, m.err
		}
		for _, text := range []string{full, bare} {
			if text, err = withDo(n.do, text); err != nil {
				return nil, err
			}
			out = append(out, text)
		}
	}
	return out, m.err
}

// withDo puts "do" before the fields, and reads the edit back: what the page sends by this type must be understood.
func withDo(do, fields string) (string, error) {
	text := `{"do":` + literal(do)
	if fields != "{}" {
		text += ","
	}
	text += fields[1:]
	ask := wire.ReadAsk(1, json.RawMessage(text))
	if len(ask.Faults) > 0 {
		return "", fmt.Errorf("%s: %w", text, ask.Faults)
	}
	if ask.Kind != store.KindEdit {
		return text, nil
	}
	if again := string(figure.EncodeEdit(ask.Edit)); again != text {
		return "", fmt.Errorf("%s is read as %s", text, again)
	}
	return text, nil
}

// filled are two values of a type as JSON: with every field, and without those that may be missing.
func (m *model) filled(t reflect.Type) (full, bare string) {
	write := func(every bool) string {
		f := filler{m: m, every: every}
		v := reflect.New(t).Elem()
		f.fill(v, "")
		text, err := json.Marshal(v.Addr().Interface())
		if err != nil {
			m.err = errors.Join(m.err, err)
		}
		return string(text)
	}
	return write(true), write(false)
}

// filler fills values with something that their types allow, each time something else.
type filler struct {
	m     *model
	every bool // fields that may be missing too
	n     int
}

func (f *filler) fill(v reflect.Value, tag reflect.StructTag) {
	f.n++
	switch t := v.Type(); {
	case t == reflect.TypeFor[words.Text]():
		v.Set(reflect.ValueOf(words.T("figure.did.front")))
		return
	case t == reflect.TypeFor[figure.Edit]():
		v.Set(reflect.ValueOf(&figure.SetTitle{Title: "Puffin"}))
		return
	case t == reflect.TypeFor[json.RawMessage]():
		v.SetBytes(figure.EncodeEdit(&figure.SetTitle{Title: "Puffin"}))
		return
	case texts[t]:
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(f.text(v.Type(), tag))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Float32, reflect.Float64:
		v.SetFloat(float64(f.n) + 0.5)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(int64(f.n))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32:
		v.SetUint(uint64(f.n))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(v.Elem(), tag)
	case reflect.Slice:
		n := 1
		if f.every {
			n = 2
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		f.elements(v, tag)
	case reflect.Array:
		f.elements(v, tag)
	case reflect.Struct:
		f.fields(v)
	}
}

func (f *filler) elements(v reflect.Value, tag reflect.StructTag) {
	for i := range v.Len() {
		f.fill(v.Index(i), tag)
	}
}

func (f *filler) fields(v reflect.Value) {
	t := v.Type()
	for _, field := range f.m.fields(t) {
		if field.optional && !f.every {
			continue
		}
		f.fill(v.FieldByIndex(field.index), t.FieldByIndex(field.index).Tag)
	}
}

// text is a string, of a type with few values one of them.
func (f *filler) text(t reflect.Type, tag reflect.StructTag) string {
	s := f.m.stringForm(t, tag, "")
	values := s.values
	if s.kind == "of" {
		values = f.m.named[s.name].values
	}
	if len(values) == 0 {
		return fmt.Sprintf("text %d", f.n)
	}
	return values[f.n%len(values)]
}

// document is a small figure that has a bit of everything: unlike takes, an opening, a short side, extras.
const document = `{"tuckring":1,"title":"Sample","unit":{"long_mm":74,"short_mm":53,"fold":"doubled"},
"colours":[{"id":"a","name":"Brick","hex":"#a63a2b"},{"id":"b","name":"Chalk","hex":"#f4efe6","sign":"#"}],
"rings":[{"runs":[{"n":6,"colour":"a"}]},{"runs":[{"n":3,"colour":"a"},{"n":3,"colour":"b","side":"short"}]},
{"start":1,"runs":[{"n":1,"colour":"b","takes":3},{"n":1,"colour":"b","takes":1},{"n":3,"colour":"a"},{"skip":2}],"after":"open out","note":"top"}],
"extras":[{"kind":"tucked","name":"Wing","colour":"a","units":3,"ring":2,"at":1.5},{"kind":"glued","name":"Eye","ring":2,"at":0,"diameter_mm":9}]}`

// ofParts is a figure of several parts: a body, a wing with its twin, a chain, and a head that is set on.
const ofParts = `{"tuckring":2,"title":"Swan","unit":{"long_mm":52,"short_mm":37},
"colours":[{"id":"a","name":"Chalk","hex":"#f4efe6"},{"id":"b","name":"Orange","hex":"#e0662a"}],
"parts":[{"id":"body","name":"Body","front":5.5,"rings":[{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]}]},
{"id":"wing","name":"Right wing","grows":{"on":"body","ring":3,"point":13},"bend":[{"rows":2,"out":6}],
"rows":[{"runs":[{"n":3,"colour":"a"},{"n":1,"colour":"b"}]},{"runs":[{"skip":1},{"n":3,"colour":"a"},{"skip":1}]}]},
{"id":"wing2","name":"Left wing","twin":"wing"},
{"id":"neck","name":"Neck","grows":{"on":"body","ring":3,"point":11},"chain":[{"n":3,"colour":"a"},{"n":1,"colour":"b"}]},
{"id":"head","name":"Head","set":{"on":"neck","ring":4,"how":"glued","tilt":20},"front":1.5,"rings":[{"runs":[{"n":6,"colour":"a"}]}]}]}`

// changes are edits of the document that change one thing or another.
var changes = []figure.Edit{
	&figure.Paint{Runs: []figure.PaintRun{{Ring: 1, At: 1, N: 2, Colour: "b"}, {Ring: 2, At: 0, N: 1, Side: "short"}}},
	&figure.InsertRing{Above: 3, Colour: "b"},
	&figure.SetTitle{Title: "Other"},
	&figure.SetUnit{LongMM: 60, ShortMM: 40, Fold: figure.Single},
	&figure.SetFront{Front: 1},
	&figure.AddColour{ID: "c", Name: "Sea", Hex: "#2277a0"},
	&figure.RemoveExtra{Key: 1},
}

// fromFigure are the values that a real figure gives, by the names of their types.
func fromFigure() (map[string][]string, error) {
	f, err := figure.Read([]byte(document))
	if err != nil {
		return nil, err
	}
	gauge := shape.FromMemory(f.Unit)
	totals := report.Totals{ByColour: []report.ColourTotal{}}
	state := wire.StateOf(store.Now{Figure: f, Rev: 3}, totals)
	state.Power = store.PowerEdit
	out := map[string][]string{
		"StateWire": {literal(state)},
		"OnShelf":   {literal(wire.OnShelf{ID: "abc", Title: f.Title})},
		"Rings":     {literal(wire.RingsOf(f))},
		"Found":     {literal(wire.Found{Rev: 3, Findings: findings.Check(f, gauge), Size: shape.Estimate(f, gauge)})},
		"Scene":     {literal(wire.Scene{Scene: shape.Place(f, gauge).Scene(f), About: []string{}})},
	}
	parts, err := figure.Read([]byte(ofParts))
	if err != nil {
		return nil, err
	}
	swan := wire.StateOf(store.Now{Figure: parts, Rev: 1}, totals)
	swan.Power = store.PowerEdit
	out["StateWire"] = append(out["StateWire"], literal(swan))
	out["Scene"] = append(out["Scene"], literal(wire.Scene{Scene: shape.Place(parts, gauge).Scene(parts), About: []string{}}))
	a9, err := unit.NewPattern(figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled})
	if err != nil {
		return nil, err
	}
	out["Folding"] = []string{literal(wire.FoldingOf(a9, words.English))}
	for _, edit := range changes {
		g := f.Clone()
		_, change, err := figure.Apply(g, edit)
		if err != nil {
			return nil, err
		}
		out["Change"] = append(out["Change"], literal(wire.ChangeOf(g, change)))
	}
	return out, nil
}
