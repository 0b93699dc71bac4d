package figure

import (
	"bytes"
	"encoding/json"
	"strconv"
)

// Write gives the canonical document of the figure, of version 1 when it is one part, else of version 2: UTF-8, a line for
// each colour, ring and extra, defaults left out, neighbouring runs that are alike merged. Reading it and writing it
// again gives the same bytes.
func (f *Figure) Write() []byte {
	var b bytes.Buffer
	version := 1
	if len(f.Parts) > 0 {
		version = partsVersion
	}
	b.WriteString("{\n  \"tuckring\": " + strconv.Itoa(version) + ",\n  \"title\": ")
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
	if len(f.Parts) > 0 {
		b.WriteString("\n  ],\n  \"parts\": [")
		for i := range f.Parts {
			lineStart(&b, i)
			f.writePart(&b, &f.Parts[i])
		}
		b.WriteString("\n  ]")
	} else {
		b.WriteString("\n  ],\n  \"rings\": [")
		for i := range f.Rings {
			lineStart(&b, i)
			f.writeRing(&b, i)
		}
		b.WriteString("\n  ],\n  \"front\": " + shortest(f.Front))
	}
	listed := 0
	for i := range f.Extras {
		if f.Extras[i].ID < 0 {
			continue // a twin's
		}
		if listed == 0 {
			b.WriteString(",\n  \"extras\": [")
		}
		lineStart(&b, listed)
		f.writeExtra(&b, &f.Extras[i])
		listed++
	}
	if listed > 0 {
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
	if !foot.OnTable() && !foot.Grows() && ring.Start != foot.Usual() {
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

// writePart writes a part: where it stands, how it is bent, its rows. A chain is written as runs where its rows are alike but for
// colour and side.
func (f *Figure) writePart(b *bytes.Buffer, p *Part) {
	b.WriteString("{\"id\": ")
	b.Write(quote(p.Code))
	b.WriteString(", \"name\": ")
	b.Write(quote(p.Name))
	if p.Twin != 0 {
		i, _ := f.PartIndex(p.Twin)
		b.WriteString(", \"twin\": ")
		b.Write(quote(f.Parts[i].Code))
		b.WriteByte('}')
		return
	}
	front := p.Front
	if p.First == 0 {
		front = f.Front
	}
	if p.First == 0 || front != 0 {
		b.WriteString(", \"front\": " + shortest(front))
	}
	if on, ok := f.RingIndex(p.on()); ok {
		f.writeStanding(b, p, on)
	}
	for i, bend := range p.Bend {
		if i == 0 {
			b.WriteString(", \"bend\": [")
		} else {
			b.WriteString(", ")
		}
		b.WriteString("{\"rows\": " + strconv.Itoa(bend.Rows))
		writeNumber(b, "out", bend.Out)
		writeNumber(b, "right", bend.Right)
		b.WriteByte('}')
	}
	if len(p.Bend) > 0 {
		b.WriteByte(']')
	}
	if f.isChain(p) {
		b.WriteString(", \"chain\": ")
		f.writeChain(b, p)
		b.WriteByte('}')
		return
	}
	list := "rings"
	if p.Open {
		list = "rows"
	}
	b.WriteString(", \"" + list + "\": [")
	for i := range p.Rows {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n      ")
		f.writeRing(b, p.First+i)
	}
	b.WriteString("]}")
}

func (f *Figure) writeStanding(b *bytes.Buffer, p *Part, on int) {
	way := "grows"
	if p.Set != nil {
		way = "set"
	}
	b.WriteString(", \"" + way + "\": {\"on\": ")
	b.Write(quote(f.Parts[f.PartOf(on)].Code))
	b.WriteString(", \"ring\": " + strconv.Itoa(f.RowNumber(on)))
	switch {
	case p.Set == nil:
		b.WriteString(", \"point\": " + strconv.Itoa(f.Rings[p.First].Start))
	default:
		if !p.Set.Centred {
			b.WriteString(", \"at\": " + shortest(p.Set.At))
		}
		b.WriteString(", \"how\": ")
		b.Write(quote(string(p.Set.How)))
		writeNumber(b, "tilt", p.Set.Tilt)
	}
	b.WriteByte('}')
}

func writeNumber(b *bytes.Buffer, name string, v float64) {
	if v != 0 {
		b.WriteString(", \"" + name + "\": " + shortest(v))
	}
}

// isChain says that all rows of an open part are one unit that takes the two points below it, without notes.
func (f *Figure) isChain(p *Part) bool {
	for i := range p.Rows {
		r := &f.Rings[p.First+i]
		if len(r.Cells) != 1 || r.Cells[0].Takes != PlainTakes || r.Cells[0].Free != 0 || r.FreeEnd != 0 || r.After != "" || r.Note != "" {
			return false
		}
	}
	return p.Open
}

func (f *Figure) writeChain(b *bytes.Buffer, p *Part) {
	rows := f.Rings[p.First : p.First+p.Rows]
	b.WriteByte('[')
	for from := 0; from < len(rows); {
		to := from + 1
		for to < len(rows) && rows[to].Cells[0] == rows[from].Cells[0] {
			to++
		}
		if from > 0 {
			b.WriteString(", ")
		}
		b.WriteString("{\"n\": " + strconv.Itoa(to-from) + ", \"colour\": ")
		b.Write(quote(f.Colours[rows[from].Cells[0].Colour].ID))
		if rows[from].Cells[0].Side == Short {
			b.WriteString(", \"side\": \"short\"")
		}
		b.WriteByte('}')
		from = to
	}
	b.WriteByte(']')
}

func (f *Figure) writeExtra(b *bytes.Buffer, e *Extra) {
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
	row := e.RingIndex()
	if part := f.pile().part(row); part != nil && part.First > 0 {
		writeText(b, "part", part.Code)
	}
	b.WriteString(", \"ring\": " + strconv.Itoa(f.RowNumber(row)) + ", \"at\": " + shortest(e.At))
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
