package pattern

import (
	"net/http"

	"tuckring/internal/findings"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/wire"
)

// findings looks the figure over for the editor, and says, in numbers as fine as those of the report, how large it becomes ring by ring.
func (s *room) findings(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	gauge := p.Gauge()
	found := wire.Found{Rev: p.Rev, Findings: findings.Check(p.Figure, gauge), Size: shape.Estimate(p.Figure, gauge)}
	w.Header().Set("Content-Type", "application/json")
	_ = report.WriteJSON(w, found) // the reader may be gone
	return nil
}
