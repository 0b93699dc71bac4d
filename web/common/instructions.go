package common

import (
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/guide"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

// Instructions is the build sheet.
type Instructions struct {
	Base   string
	Guide  *guide.Guide
	Counts words.Text // all units and rings
	Marks  []Mark     // by the colour's place in the palette
	Used   []Mark     // of the colours that the figure uses
	IDs    []int64    // of the rings, so that ticks stay with their ring
	Brief  bool       // parts stand as text without marks: there are very many
}

// manyParts is how many stretches of units a build sheet shows one by one, each with its mark; a page
// of more would be slow to open. Then a ring's parts are one line.
const manyParts = 5000

// Instruct is the building instructions of a figure for a page.
func Instruct(f *figure.Figure) Instructions {
	v := Instructions{Guide: guide.Make(f), Counts: report.Count(f).Text(len(f.Rings)), Marks: Palette(f)}
	for i, used := range f.Used() {
		if used {
			v.Used = append(v.Used, v.Marks[i])
		}
	}
	for i := range f.Rings {
		v.IDs = append(v.IDs, int64(f.Rings[i].ID))
	}
	parts := 0
	for i := range v.Guide.Steps {
		parts += len(v.Guide.Steps[i].Parts)
	}
	v.Brief = parts > manyParts
	return v
}

// RingKey names the box of a ring by its identity.
func (v *Instructions) RingKey(step int) string { return "ring-" + strconv.FormatInt(v.IDs[step], 10) }

// briefParts says the parts of a ring in one line: "8 S · 11 C", and in words what is not plain about one.
func (v *Instructions) briefParts(say *words.Speaker, step guide.Ring) string {
	var out strings.Builder
	for i, part := range step.Parts {
		if i > 0 {
			out.WriteString(" · ")
		}
		if part.Units == 0 || part.Side == figure.Short || (part.Takes != 2 && part.Takes != 0) {
			out.WriteString(say.Say(part.Text()))
			continue
		}
		out.WriteString(strconv.Itoa(part.Units) + " " + v.Marks[part.Colour].Sign)
	}
	return out.String()
}
