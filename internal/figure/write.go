package figure

import (
	"bytes"
	"encoding/json"
	"strconv"
)

// Write gives the canonical document of the figure, version 1: UTF-8, a line for each colour, ring
// and extra, defaults left out, neighbouring runs that are alike merged. Reading it and writing it
// again gives the same bytes.
func (f *Figure) Write() []byte {
	var b bytes.Buffer
	b.WriteString("{\n  \"tuckring\": 1,\n  \"title\": ")
	b.Write(quote(f.Title))
	b.WriteString(",\n  \"unit\": {\"long_mm\": " + shortest(f.Unit.LongMM) + ", \"short_mm\": " + shortest(f.Unit.ShortMM) + ", \"fold\": ")
	b.Write(quote(string(f.Unit.Fold)))
	b.WriteString("},\n  \"colours\": [")
	for i, c := range f.Colours {
		lineStart(&b, i)
		b.WriteString("{\"id\": ")
		b.Write(quote(c.ID))
		b.WriteString(", \"name\": ")
		b.Write(quote(c.Name))
		b.WriteString(", \"hex\": ")
		b.Write(quote(c.Hex))
		writeText(&b, "sign", c.Sign)
		b.WriteByte('}')
	}
	b.WriteString("\n  ],\n  \"rings\": [")
	for i := range f.Rings {
		lineStart(&b, i)
		f.writeRing(&b, i)
	}
	b.WriteString("\n  ],\n  \"front\": " + shortest(f.Front))
	if len(f.Extras) > 0 {
		b.WriteString(",\n  \"extras\": [")
		for i := range f.Extras {
			lineStart(&b, i)
			writeExtra(&b, &f.Extras[i])
		}
		b.WriteString("\n  ]")
	}
	b.WriteString("\n}\n")
	return b.Bytes()
}

func lineStart(b *bytes.Buffer, i int) {
	if i > 0 {
		b.WriteByte(',')
	}
	b.WriteString("\n    ")
}

func (f *Figure) writeRing(b *bytes.Buffer, index int) {
	ring, foot := &f.Rings[index], f.Footing(index)
	b.WriteByte('{')
	if !foot.OnTable() && ring.Start != foot.Usual() {
		b.WriteString("\"start\": " + strconv.Itoa(ring.Start) + ", ")
	}
	b.WriteString("\"runs\": [")
	for i, run := range f.runs(ring) {
		if i > 0 {
			b.WriteString(", ")
		}
		if run.Skip > 0 {
			b.WriteString("{\"skip\": " + strconv.Itoa(run.Skip) + "}")
			continue
		}
		b.WriteString("{\"n\": " + strconv.Itoa(run.N) + ", \"colour\": ")
		b.Write(quote(run.Colour))
		if !foot.OnTable() && run.Takes != PlainTakes {
			b.WriteString(", \"takes\": " + strconv.Itoa(run.Takes))
		}
		if run.Side == Short.String() {
			b.WriteString(", \"side\": \"short\"")
		}
		b.WriteByte('}')
	}
	b.WriteByte(']')
	writeText(b, "after", ring.After)
	writeText(b, "note", ring.Note)
	b.WriteByte('}')
}

func writeText(b *bytes.Buffer, name, s string) {
	if s != "" {
		b.WriteString(", \"" + name + "\": ")
		b.Write(quote(s))
	}
}

func writeExtra(b *bytes.Buffer, e *Extra) {
	b.WriteString("{\"kind\": ")
	b.Write(quote(string(e.Kind)))
	b.WriteString(", \"name\": ")
	b.Write(quote(e.Name))
	writeText(b, "colour", e.Colour)
	switch {
	case e.Kind == Tucked:
		b.WriteString(", \"units\": " + strconv.Itoa(e.Units))
	case e.Outline == Disc:
		b.WriteString(", \"diameter_mm\": " + shortest(e.Diameter))
	default:
		writeText(b, "outline", string(e.Outline))
		b.WriteString(", \"width_mm\": " + shortest(e.Width) + ", \"height_mm\": " + shortest(e.Height))
	}
	b.WriteString(", \"ring\": " + strconv.Itoa(e.Ring) + ", \"at\": " + shortest(e.At))
	writeText(b, "shaping", e.Shaping)
	b.WriteByte('}')
}

func quote(s string) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(s) // a string always encodes
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}
