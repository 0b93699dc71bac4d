package report

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"tuckring/internal/pace"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Text is the report in words, for a terminal.
func (r *Report) Text(s *words.Speaker) string {
	var b strings.Builder
	line := func(t words.Text) { b.WriteString(s.Say(t) + "\n") }
	b.WriteString(r.Title + "\n")
	line(words.T("report.text.units", "Counts", r.Units.Text(len(r.Rings))))
	for _, p := range r.Units.ByPart {
		line(words.T("report.text.part", "Part", p.Name, "Count", p.Units))
	}
	u := r.Paper.Unit
	line(words.T("report.text.paper", "Long", number(u.LongMM), "Short", number(u.ShortMM), "Fold", words.T("report.fold."+string(u.Fold)), "Leg", number(u.LegMM)))
	line(words.T("report.text.layout", "Sheet", r.Paper.Sheet, "Count", r.Paper.PerSheet))
	b.WriteByte('\n')
	colours := r.ColourTable()
	colours.text(&b, s)
	b.WriteByte('\n')
	line(words.T("report.text.size", "Height", rangeText(r.Size.Height), "Diameter", rangeText(r.Size.Diameter), "Standing", r.sizeStanding()))
	b.WriteByte('\n')
	line(words.T("report.text.time", "Count", r.Time.People, "Pace", pace.Profile{Name: r.Time.Pace}.Text()))
	time := r.TimeTable()
	time.text(&b, s)
	if r.Time.Plan != nil {
		line(r.Time.Plan.Text())
	}
	b.WriteByte('\n')
	if len(r.Findings) == 0 {
		line(words.T("report.text.no_findings"))
	}
	for _, f := range r.Findings {
		line(f.Line())
	}
	return b.String()
}

// sizeStanding says how well the size is founded.
func (r *Report) sizeStanding() words.Text {
	if r.Size.Calibrated {
		return words.T("report.size.calibrated")
	}
	if r.SwatchRefused.Key != "" {
		return r.SwatchRefused
	}
	return words.T("report.size.memory")
}

// rangeText shows a length in whole mm: the likely one, and from where to where it may be.
func rangeText(v shape.Range) words.Text {
	mm := func(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }
	return words.T("report.range", "Best", mm(v.Best), "Low", mm(v.Low), "High", mm(v.High))
}

// text writes the table with its columns lined up, words to the left and numbers to the right, and its
// totals.
func (t *Table) text(b *strings.Builder, s *words.Speaker) {
	lines := [][]string{make([]string, len(t.Columns))}
	for c, col := range t.Columns {
		lines[0][c] = s.Say(col.Head)
	}
	rows := t.Rows
	if t.hasTotals() && len(rows) > 1 {
		totals := t.Totals()
		if totals[0] == nil {
			totals[0] = words.T("report.total")
		}
		rows = append(rows[:len(rows):len(rows)], totals)
	}
	for _, row := range rows {
		line := make([]string, len(row))
		for c, v := range row {
			line[c] = t.Cell(s, c, v)
		}
		lines = append(lines, line)
	}
	writeColumns(b, lines, t.leftColumns())
}

// leftColumns tells which columns hold words.
func (t *Table) leftColumns() []bool {
	left := make([]bool, len(t.Columns))
	if len(t.Rows) == 0 {
		return left
	}
	for c, v := range t.Rows[0] {
		switch v.(type) {
		case string, words.Text:
			left[c] = true
		}
	}
	return left
}

func writeColumns(b *strings.Builder, lines [][]string, left []bool) {
	widths := make([]int, len(left))
	for _, line := range lines {
		for c, text := range line {
			widths[c] = max(widths[c], utf8.RuneCountInString(text))
		}
	}
	for _, line := range lines {
		padded := make([]string, len(line))
		for c, text := range line {
			pad := strings.Repeat(" ", widths[c]-utf8.RuneCountInString(text))
			if left[c] {
				padded[c] = text + pad
			} else {
				padded[c] = pad + text
			}
		}
		b.WriteString(strings.TrimRight(strings.Join(padded, "  "), " ") + "\n")
	}
}
