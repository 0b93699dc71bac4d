package pattern

import (
	"bytes"
	"net/http"
	"strings"

	"github.com/a-h/templ"

	"tuckring/internal/draw"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// printTab is the page of the pattern to be printed. The editor prints what it shows.
var printTab = kernel.Tab{Page: "pattern", Name: words.T("web.page.pattern")}

// patternPrint is the pattern on pages that go on A4 and Letter alike.
func (s *room) patternPrint(w http.ResponseWriter, r *http.Request) error {
	base := kernel.AccessOf(r).Base
	return s.SendKept(w, r, "pattern pages "+base, "text/html; charset=utf-8", "", func(p kernel.Present) ([]byte, error) {
		var pages strings.Builder
		for _, drawn := range draw.PatternPages(p.Figure, draw.AnyPage, kernel.Speaker(r)) {
			pages.Write(drawn.SVG())
		}
		page := s.FigurePage(r, p.Figure.Title, printTab)
		page.Styles, page.Scripts = []string{"report", "pattern-print"}, []string{"report"}
		var out bytes.Buffer
		err := PatternPrintPage(page, templ.Raw(pages.String())).Render(r.Context(), &out)
		return out.Bytes(), err
	})
}
