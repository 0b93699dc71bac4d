package report

import (
	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

// Source says where a number of the report comes from, and how well it is founded.
type Source struct {
	Key  string       `json:"key"` // "units", "spare", "sheet", "per_sheet", "mass", "size", "cutting", "folding" …
	Text []words.Text `json:"text"`
}

// sources are the answers to "where does this come from" in the order of the report.
func (r *Report) sources(s *Settings) []Source {
	return []Source{
		{"units", []words.Text{words.T("report.source.units")}},
		{"spare", []words.Text{words.T("report.source.spare", "Percent", number(s.Spare)), paper.SpareSource()}},
		{"sheet", sheetSources(r.layouts())},
		{"per_sheet", layoutSources(r.layouts())},
		{"mass", []words.Text{paper.MassSource(), words.T("report.source.printed")}},
		{"cost", []words.Text{words.T("report.source.cost")}},
		{"thickness", []words.Text{s.thicknessSource(), paper.StackSource()}},
		{"size", []words.Text{r.sizeStanding(), words.T("report.source.size")}},
		{"cutting", r.cuttingSources(s)},
		{"folding", append([]words.Text{words.T("report.source.folding")}, paceSources(s)...)},
		{"assembly", r.timeSources(s, words.T("report.source.assembly", "Units", words.T("figure.units", "Count", r.Time.Work.Placed), "Rings", words.T("web.rings", "Count", r.Time.Work.Rings)), pace.Place, pace.Close, pace.Hands, pace.Helping)},
		{"finishing", r.timeSources(s, r.Time.Work.finishing(), pace.Tuck, pace.Glue, pace.Dry)},
		{"sessions", r.timeSources(s, words.T("report.source.sessions"), pace.Tidy)},
		{"kits", []words.Text{words.T("report.source.kits")}},
	}
}

func (r *Report) cuttingSources(s *Settings) []words.Text {
	if r.Cutting.Strokes == 0 {
		return []words.Text{words.T("report.source.cutting.none")}
	}
	return r.timeSources(s, words.T("report.source.cutting", "Cuts", words.T("paper.layout.cuts", "Count", r.Cutting.Strokes),
		"Stacks", words.T("cutpage.of_stacks", "Count", r.Cutting.Stacks)), pace.Stroke, pace.Stack)
}

// finishing says what is tucked in and glued on, and leaves out what there is none of.
func (w WorkCounts) finishing() words.Text {
	tucked, glued := words.T("report.extras", "Count", w.Tucked), words.T("report.pieces", "Count", w.Glued)
	switch {
	case w.Tucked > 0 && w.Glued > 0:
		return words.T("report.source.finishing", "Tucked", tucked, "Glued", glued)
	case w.Tucked > 0:
		return words.T("report.source.finishing.tucked", "Tucked", tucked)
	case w.Glued > 0:
		return words.T("report.source.finishing.glued", "Glued", glued)
	}
	return words.T("report.source.finishing.none")
}

// layouts are the different layouts that the colours are cut by.
func (r *Report) layouts() []*paper.Layout {
	var out []*paper.Layout
	seen := map[*paper.Layout]bool{}
	for _, c := range r.Paper.ByColour {
		if !seen[c.layout] {
			seen[c.layout] = true
			out = append(out, c.layout)
		}
	}
	return out
}

func sheetSources(layouts []*paper.Layout) []words.Text {
	out := []words.Text{}
	for _, l := range layouts {
		out = append(out, words.T("report.source.sheet", "Sheet", l.Cutting.Sheet.Label(), "Source", l.Cutting.Sheet.Source()))
	}
	return out
}

func layoutSources(layouts []*paper.Layout) []words.Text {
	out := []words.Text{}
	for _, l := range layouts {
		out = append(out, l.Summary())
		if !l.Uncut() {
			out = append(out, l.Proof(), l.StopsProof())
		}
	}
	return out
}

func (s *Settings) thicknessSource() words.Text {
	if s.ThicknessMM > 0 {
		return words.T("paper.source.own")
	}
	return paper.ThicknessSource()
}

// paceSources are the profiles of the people, each once.
func paceSources(s *Settings) []words.Text {
	var out []words.Text
	seen := map[string]bool{}
	for _, p := range s.profiles() {
		if !seen[p.Name] {
			seen[p.Name] = true
			out = append(out, p.Source())
		}
	}
	return out
}

// timeSources say the numbers that a stage is reckoned from.
func (r *Report) timeSources(s *Settings, first words.Text, keys ...string) []words.Text {
	rates := pace.DefaultRates().WithOwn(s.OwnTimes)
	out := []words.Text{first}
	for _, key := range keys {
		out = append(out, rates[key].Text())
	}
	return out
}
