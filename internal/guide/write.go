package guide

import (
	"fmt"
	"io"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Write says the whole guide as text, a paragraph for each ring, and a line for each other thing.
// The error is the writer's.
func (g *Guide) Write(w io.Writer, s *words.Speaker) error {
	var b strings.Builder
	b.WriteString(g.Title + "\n" + s.T("guide.units", "Count", g.Units) + "\n\n")
	writeLines(&b, s, "", g.Before)
	for i := range g.Steps {
		step := &g.Steps[i]
		b.WriteByte('\n')
		writeLines(&b, s, "", step.Before)
		b.WriteString(step.Say(s) + " " + s.T("guide.sofar", "Units", step.SoFar, "Total", g.Units) + "\n")
		writeLines(&b, s, "  ", step.After)
	}
	b.WriteByte('\n')
	writeLines(&b, s, "", g.After)
	_, err := io.WriteString(w, b.String())
	return err
}

func writeLines(b *strings.Builder, s *words.Speaker, indent string, lines []Line) {
	for _, l := range lines {
		fmt.Fprintf(b, "%s%s\n", indent, l.Say(s))
	}
}

// Say says a line; a caution is announced as one.
func (l Line) Say(s *words.Speaker) string {
	if l.Kind == Caution {
		return s.T("guide.caution", "Text", l.Text)
	}
	return s.Say(l.Text)
}

// Say says the ring in one paragraph: its number, its units, where it begins if not in the plain place,
// and its stretches from the seam to the right.
func (st *Ring) Say(s *words.Speaker) string {
	ring, from := "guide.ring", "guide.stretches"
	if st.Open {
		ring, from = "guide.row", "guide.stretches.open"
	}
	said := s.T(ring, "Ring", st.Name(), "Units", words.T("figure.units", "Count", st.Units))
	if st.Change != 0 {
		said += " " + s.Say(st.ChangeText())
	}
	if !st.Plain {
		said += " " + s.Say(st.Begin.Text())
	}
	list := make([]string, len(st.Stretches))
	for i, p := range st.Stretches {
		list[i] = s.Say(p.Text())
	}
	return said + " " + s.T(from, "Stretches", strings.Join(list, s.T("guide.comma")))
}

// Name is what sentences call the ring by: its number, and in a figure of several parts the part too.
func (st *Ring) Name() any {
	if st.Part == "" {
		return st.Ring
	}
	return words.T("figure.row_of", "Ring", st.Ring, "Part", st.Part)
}

// ChangeText says by how many units the ring is wider or narrower than the one below.
func (st *Ring) ChangeText() words.Text {
	switch wider := st.Change > 0; {
	case wider && st.Open:
		return words.T("guide.row.wider", "Count", st.Change)
	case wider:
		return words.T("guide.wider", "Count", st.Change)
	case st.Open:
		return words.T("guide.row.narrower", "Count", -st.Change)
	}
	return words.T("guide.narrower", "Count", -st.Change)
}

// Text says where a ring begins.
func (p *Point) Text() words.Text {
	if p.Right {
		return words.T("guide.begin.right", "Unit", p.Unit)
	}
	return words.T("guide.begin.left", "Unit", p.Unit)
}

// Text says a stretch: how many units of which colour, and only what is not plain about them.
func (p Stretch) Text() words.Text {
	if p.Units == 0 {
		return words.T("guide.free", "Count", p.Free)
	}
	key := "guide.stretch"
	switch short, takes := p.Side == figure.Short, p.Takes != figure.PlainTakes && p.Takes != 0; {
	case short && takes:
		key = "guide.stretch.short.takes"
	case short:
		key = "guide.stretch.short"
	case takes:
		key = "guide.stretch.takes"
	}
	return words.T(key, "Count", p.Units, "Colour", p.Name, "Points", words.T("figure.points", "Count", p.Takes))
}
