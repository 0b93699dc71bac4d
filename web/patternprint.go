package web

import (
	"bytes"
	"net/http"
	"strings"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"

	"tuckring/internal/draw"
	"tuckring/internal/words"
)

// printTab is the page of the pattern to be printed. The editor prints what it shows.
var printTab = Tab{Page: "pattern", Name: words.T("web.page.pattern")}

// handoutSizes are the papers of the handout, by the part of its address that names them.
var handoutSizes = map[string]draw.PageSize{"a4": draw.A4, "letter": draw.Letter}

// handout sends the handout as PDF, for A4 or Letter: everything that a maker needs to build the figure
// without the app. Whoever may see the figure may have it.
func (s *Server) handout(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "paper")
	size, ok := handoutSizes[name]
	if !ok {
		return notFound()
	}
	say := speaker(r)
	return s.sendKept(w, r, "handout "+name, "application/pdf", ".handout-"+name+".pdf", func(p Present) ([]byte, error) {
		return draw.Handout(p.Figure, size, say).PDF()
	})
}

// patternPrint is the pattern on pages that go on A4 and Letter alike.
func (s *Server) patternPrint(w http.ResponseWriter, r *http.Request) error {
	base := accessOf(r).base
	return s.sendKept(w, r, "pattern pages "+base, "text/html; charset=utf-8", "", func(p Present) ([]byte, error) {
		var pages strings.Builder
		for _, drawn := range draw.PatternPages(p.Figure, draw.AnyPage, speaker(r)) {
			pages.Write(drawn.SVG())
		}
		page := s.figurePage(r, p.Figure.Title, printTab)
		page.Styles, page.Scripts = []string{"report", "patternprint"}, []string{"report"}
		var out bytes.Buffer
		err := PatternPrintPage(page, templ.Raw(pages.String())).Render(r.Context(), &out)
		return out.Bytes(), err
	})
}
