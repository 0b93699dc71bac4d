package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tuckring/internal/wire"
)

// types writes types.ts.
func (m *model) types() []byte {
	var out bytes.Buffer
	out.WriteString(head)
	out.WriteString("// What server and page say to each other (Go: internal/wire), the shapes by which door.ts checks what comes in, and\n// the limits that both sides keep.\n")
	sorted := slices.Sorted(maps.Keys(m.named))
	for _, name := range sorted {
		m.named[name].declare(&out)
	}
	m.writeEvents(&out)
	out.WriteString("\n/** Every type by its name. */\nexport interface Wire {\n")
	for _, name := range sorted {
		fmt.Fprintf(&out, "  %s: %s;\n", name, name)
	}
	out.WriteString("}\n\n/** What a value looks like. An object has all of fields and may have those of may; kinds are told apart by their \"do\". */\n")
	out.WriteString("export type Shape =\n  | \"string\"\n  | \"number\"\n  | \"boolean\"\n  | { list: Shape }\n  | { tuple: Shape; n: number }\n  | { one: readonly string[] }\n" +
		"  | { of: keyof Wire }\n  | { fields: Readonly<Record<string, Shape>>; may: Readonly<Record<string, Shape>> }\n  | { kinds: Readonly<Record<string, keyof Wire>> };\n")
	out.WriteString("\nexport const SHAPES: { readonly [N in keyof Wire]: Shape } = {\n")
	for _, name := range sorted {
		fmt.Fprintf(&out, "  %s: %s,\n", name, m.shapeText(m.named[name]))
	}
	out.WriteString("};\n")
	for _, c := range wire.Constants {
		fmt.Fprintf(&out, "\n/** %s */\nexport const %s = %s;\n", c.About, c.Name, literal(c.Value))
	}
	return out.Bytes()
}

// writeEvents writes the events of a stream by their names.
func (m *model) writeEvents(out *bytes.Buffer) {
	sorted := slices.Sorted(maps.Keys(m.events))
	out.WriteString("\n/** What each event of a figure's stream carries. */\nexport interface Events {\n")
	for _, name := range sorted {
		fmt.Fprintf(out, "  %s: %s;\n", name, m.events[name].ts())
	}
	out.WriteString("}\n\n/** An event, told apart by its name. */\nexport type Told = { [N in keyof Events]: { event: N; data: Events[N] } }[keyof Events];\n")
	out.WriteString("\nexport const EVENTS: { readonly [N in keyof Events]: Shape } = {\n")
	for _, name := range sorted {
		fmt.Fprintf(out, "  %s: %s,\n", name, m.events[name].check())
	}
	out.WriteString("};\n")
}

// declare writes a type's declaration.
func (n *named) declare(out *bytes.Buffer) {
	out.WriteString("\n")
	comment(out, "", n.doc)
	switch {
	case n.kinds != nil:
		fmt.Fprintf(out, "export type %s = %s;\n", n.name, strings.Join(n.kinds, " | "))
	case n.values != nil:
		fmt.Fprintf(out, "export type %s = %s;\n", n.name, union(n.values))
	case n.do == "" && len(n.fields) == 0:
		fmt.Fprintf(out, "export type %s = Record<string, never>;\n", n.name)
	default:
		fmt.Fprintf(out, "export interface %s {\n", n.name)
		if n.do != "" {
			fmt.Fprintf(out, "  do: %q;\n", n.do)
		}
		for _, f := range n.fields {
			comment(out, "  ", f.doc)
			mark := ""
			if f.optional {
				mark = "?"
			}
			fmt.Fprintf(out, "  %s%s: %s;\n", f.name, mark, f.form.ts())
		}
		out.WriteString("}\n")
	}
}

func comment(out *bytes.Buffer, indent, text string) {
	if text != "" {
		fmt.Fprintf(out, "%s/** %s */\n", indent, strings.ReplaceAll(text, "*/", "* /"))
	}
}

func union(values []string) string {
	quoted := make([]string, len(values))
	for i, v := range values {
		quoted[i] = fmt.Sprintf("%q", v)
	}
	return strings.Join(quoted, " | ")
}

// ts is a shape as a type.
func (s form) ts() string {
	switch s.kind {
	case "list":
		if inner := s.elem.ts(); !strings.Contains(inner, " | ") {
			return inner + "[]"
		}
		return "(" + s.elem.ts() + ")[]"
	case "tuple":
		return "[" + strings.TrimSuffix(strings.Repeat(s.elem.ts()+", ", s.n), ", ") + "]"
	case "one":
		return union(s.values)
	case "of":
		return s.name
	}
	return s.kind
}

// check is a shape as a value of type Shape.
func (s form) check() string {
	switch s.kind {
	case "list":
		return "{ list: " + s.elem.check() + " }"
	case "tuple":
		return fmt.Sprintf("{ tuple: %s, n: %d }", s.elem.check(), s.n)
	case "one":
		return "{ one: " + literal(s.values) + " }"
	case "of":
		return fmt.Sprintf("{ of: %q }", s.name)
	}
	return fmt.Sprintf("%q", s.kind)
}

// shapeText is what a named type looks like, as a value of type Shape.
func (m *model) shapeText(n *named) string {
	switch {
	case n.kinds != nil:
		var kinds []string
		for do, name := range m.kindsOf(n) {
			kinds = append(kinds, fmt.Sprintf("%s: %q", do, name))
		}
		slices.Sort(kinds)
		return "{ kinds: { " + strings.Join(kinds, ", ") + " } }"
	case n.values != nil:
		return "{ one: " + literal(n.values) + " }"
	}
	var fields, may []string
	if n.do != "" {
		fields = append(fields, fmt.Sprintf("do: { one: [%q] }", n.do))
	}
	for _, f := range n.fields {
		text := f.name + ": " + f.form.check()
		if f.optional {
			may = append(may, text)
		} else {
			fields = append(fields, text)
		}
	}
	return "{ fields: " + braced(fields) + ", may: " + braced(may) + " }"
}

func braced(list []string) string {
	if len(list) == 0 {
		return "{}"
	}
	return "{ " + strings.Join(list, ", ") + " }"
}

// kindsOf are the members of a union by what stands in "do", those of unions within it among them.
func (m *model) kindsOf(n *named) map[string]string {
	out := map[string]string{}
	for _, name := range n.kinds {
		member := m.named[name]
		if member.kinds == nil {
			out[member.do] = name
			continue
		}
		maps.Copy(out, m.kindsOf(member))
	}
	return out
}

// literal is a value as JSON, which TypeScript reads as well.
func literal(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic("a constant that cannot be written: " + err.Error())
	}
	return string(text)
}
