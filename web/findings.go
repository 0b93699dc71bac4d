package web

import (
	"encoding/json"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/sight"
	"tuckring/internal/store"
)

// wireFindings is what was found when the figure at a revision was looked over.
type wireFindings struct {
	Rev      int64              `json:"rev"`
	Findings []findings.Finding `json:"findings"`
	Alike    []wireAlike        `json:"alike"`
	Size     shape.Size         `json:"size"`
}

// wireAlike is two papers that touch in the figure and are hard to tell apart.
type wireAlike struct {
	A   string `json:"a"`
	B   string `json:"b"`
	Say string `json:"say"`
}

// findings looks the figure over: what may not hold or stand, what the pattern may not have meant, which
// papers are hard to tell apart, and how large it becomes ring by ring.
func (s *Server) findings(w http.ResponseWriter, r *http.Request) error {
	var f *figure.Figure
	var settings json.RawMessage
	out := wireFindings{Alike: []wireAlike{}}
	err := s.cfg.Store.Look(r.Context(), accessOf(r).design, func(n store.Now) error {
		out.Rev, f, settings = n.Rev, n.Figure.Clone(), n.Settings
		return nil
	})
	if err != nil {
		return err
	}
	kept, err := report.ReadSettings(settings)
	if err != nil {
		kept = report.DefaultSettings() // the report page says what is wrong with them
	}
	gauge := kept.Gauge(f.Unit)
	out.Findings = findings.Check(f, gauge)
	say := speaker(r)
	for _, pair := range sight.Alike(f) {
		out.Alike = append(out.Alike, wireAlike{A: f.Colours[pair.A].ID, B: f.Colours[pair.B].ID, Say: say.Say(pair.Text(f))})
	}
	out.Size = shape.Estimate(f, gauge)
	writeJSON(w, http.StatusOK, out)
	return nil
}
