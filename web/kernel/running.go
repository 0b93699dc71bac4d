package kernel

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"
)

// The running head of printed pages: what is printed and of which figure, on every page but the first, whose own
// heading says it. It stands in a margin box (CSS Paged Media 3, 4.2), which Chromium has from version 131; the
// text has to come from a style sheet, and one of the figure's own, since pages carry no styles within them.
// Browsers without margin boxes print the document's title, which says the same, in a head of their own.

// mostRunning is how many characters of a running head are printed: even of the widest they go on one line.
const mostRunning = 50

// RunningAddress is the address of the running head of a page of a figure.
func RunningAddress(p Page, of string) string { return p.Design.Base + "/running/" + of + ".css" }

// runningHead sends the style sheet of a page's running head.
func (s *App) runningHead(w http.ResponseWriter, r *http.Request) error {
	of := chi.URLParam(r, "page")
	purpose, ok := s.heads[of]
	if !ok {
		return NotFound()
	}
	title := Speaker(r).Say(purpose)
	return s.SendKept(w, r, "running "+of, MediaTypes[".css"], "", func(p Present) ([]byte, error) {
		return RunningSheet(title + " · " + p.Figure.Title), nil
	})
}

// RunningSheet is a style sheet that prints a text at the head of every page but the first, and the page's number
// at the foot of all.
func RunningSheet(text string) []byte {
	if letters := []rune(text); len(letters) > mostRunning {
		text = string(letters[:mostRunning-1]) + "…"
	}
	return fmt.Appendf(nil,
		"@media print{@page{@top-left{content:%s;font:8pt sans-serif;white-space:nowrap}"+
			"@bottom-right{content:counter(page) \" / \" counter(pages);font:8pt sans-serif}}"+
			"@page :first{@top-left{content:none}}}\n", cssString(text))
}

// cssString writes a text as a string of CSS (CSS Syntax 3, 4.3.7): all but plain letters and digits escaped.
func cssString(text string) string {
	var out strings.Builder
	out.WriteByte('"')
	for _, c := range text {
		switch {
		case c == ' ' || '0' <= c && c <= '9' || 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z':
			out.WriteRune(c)
		default:
			fmt.Fprintf(&out, `\%x `, c) // the space ends the escape
		}
	}
	out.WriteByte('"')
	return out.String()
}
