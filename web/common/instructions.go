package common

import (
	"strconv"
	"strings"
	"tuckring/web/kernel"

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
	Brief  bool       // stretches stand as text without marks: there are very many
}

// manyStretches is how many stretches of units a build sheet shows one by one, each with its mark; a page
// of more would be slow to open. Then a ring's stretches are one line.
const manyStretches = 5000

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
	stretches := 0
	for i := range v.Guide.Steps {
		stretches += len(v.Guide.Steps[i].Stretches)
	}
	v.Brief = stretches > manyStretches
	return v
}

// RingKey names the box of a ring by its identity.
func (v *Instructions) RingKey(step int) string { return "ring-" + strconv.FormatInt(v.IDs[step], 10) }

// briefStretches says the stretches of a ring in one line: "8 S · 11 C", and in words what is not plain about one.
// RingName is what a step is called by: "Ring 7", or of a part that does not close "Row 7 of …".
func RingName(p kernel.Page, step *guide.Ring) string {
	key := "buildpage.ring"
	if step.Open {
		key = "buildpage.row"
	}
	return p.Say.T(key, "Number", step.Name())
}

func (v *Instructions) briefStretches(say *words.Speaker, step guide.Ring) string {
	var out strings.Builder
	for i, stretch := range step.Stretches {
		if i > 0 {
			out.WriteString(" · ")
		}
		if stretch.Units == 0 || stretch.Side == figure.Short || (stretch.Takes != 2 && stretch.Takes != 0) {
			out.WriteString(say.Say(stretch.Text()))
			continue
		}
		out.WriteString(strconv.Itoa(stretch.Units) + " " + v.Marks[stretch.Colour].Sign)
	}
	return out.String()
}
