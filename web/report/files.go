package report

import (
	"io"
	"net/http"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/report"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// reportFile makes the report for one of its files; a report that cannot be made is a refusal.
func (s *room) reportFile(r *http.Request) (*report.Report, error) {
	p, err := s.Present(r)
	if err != nil {
		return nil, err
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	return made, common.NoReport(err)
}

// reportJSON is what `tuckring report --json` prints, with the design's own settings.
func (s *room) reportJSON(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		return common.NoReport(err)
	}
	made.LookOver(p.Figure, p.Settings)
	return kernel.HandOut(w, made.Title, "report.json", "application/json", func(out io.Writer) error {
		return report.WriteJSON(out, made)
	})
}

// reportXLSX is all tables as one workbook.
func (s *room) reportXLSX(w http.ResponseWriter, r *http.Request) error {
	made, err := s.reportFile(r)
	if err != nil {
		return err
	}
	const kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	return kernel.HandOut(w, made.Title, "xlsx", kind, func(out io.Writer) error {
		return report.XLSX(out, kernel.Speaker(r), made.Tables())
	})
}

// reportCSV is one table as RFC 4180 writes it.
func (s *room) reportCSV(w http.ResponseWriter, r *http.Request) error {
	made, err := s.reportFile(r)
	if err != nil {
		return err
	}
	for _, t := range made.Tables() {
		if t.Key == chi.URLParam(r, "table") {
			return kernel.HandOut(w, made.Title, t.Key+".csv", "text/csv; charset=utf-8; header=present", func(out io.Writer) error {
				return t.CSV(out, kernel.Speaker(r))
			})
		}
	}
	return kernel.NotFound()
}
