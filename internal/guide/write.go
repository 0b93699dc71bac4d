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
// and its parts from the seam to the right.
func (st *Ring) Say(s *words.Speaker) string {
	said := s.T("guide.ring", "Ring", st.Ring, "Units", words.T("figure.units", "Count", st.Units))
	if st.Change != 0 {
		said += " " + s.Say(st.ChangeText())
	}
	if !st.Plain {
		said += " " + s.Say(st.Begin.Text())
	}
	parts := make([]string, len(st.Parts))
	for i, p := range st.Parts {
		parts[i] = s.Say(p.Text())
	}
	return said + " " + s.T("guide.parts", "Parts", strings.Join(parts, s.T("guide.comma")))
}

// ChangeText says by how many units the ring is wider or narrower than the one below.
func (st *Ring) ChangeText() words.Text {
	if st.Change > 0 {
		return words.T("guide.wider", "Count", st.Change)
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

// Text says a part: how many units of which colour, and only what is not plain about them.
func (p Part) Text() words.Text {
	if p.Units == 0 {
		return words.T("guide.free", "Count", p.Free)
	}
	key := "guide.part"
	switch short, takes := p.Side == figure.Short, p.Takes != figure.PlainTakes && p.Takes != 0; {
	case short && takes:
		key = "guide.part.short.takes"
	case short:
		key = "guide.part.short"
	case takes:
		key = "guide.part.takes"
	}
	return words.T(key, "Count", p.Units, "Colour", p.Name, "Points", words.T("figure.points", "Count", p.Takes))
}
