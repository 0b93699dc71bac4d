package web

import (
	"net/http"

	"tuckring/internal/words"
)

// Page is what the layout needs to know of a page. Handlers make one with newPage and add to it.
type Page struct {
	Say     *words.Speaker
	Title   string   // of the document, without the app's name
	Styles  []string // style sheets of the build beside base.css: "report" for report.css
	Running string   // address of the style sheet of its running head, "" for none
	Scripts []string // scripts of the build beside base.js: "pattern" for pattern.js
	Wide    bool     // the page's content uses the whole window
	Maker   bool     // the reader may see the shelf
	Design  *Here    // the figure whose page this is, nil on other pages
	Client  bool     // the page carries the client's sentences (client.*) for its scripts

	file  func(name string) string
	fonts []string
}

// Here says which page of which figure is open.
type Here struct {
	Base  string // "/d/{id}", "/e/{token}" or "/v/{token}"
	Title string // the figure's
	Page  string // one of the Page… names
}

// The pages of a figure, in the order of the navigation; each is also the last part of its address.
const (
	PagePattern = ""
	PageReport  = "report"
	PageBuild   = "build"
	PageStand   = "stand"
	PageShare   = "share"
)

// pages lists the pages of a figure that the reader may open.
func (p Page) pages() []string {
	if p.Maker {
		return []string{PagePattern, PageReport, PageBuild, PageStand, PageShare}
	}
	return []string{PagePattern, PageReport, PageBuild, PageStand}
}

// address is where one of the figure's pages stands.
func (h Here) address(page string) string {
	if page == PagePattern {
		return h.Base
	}
	return h.Base + "/" + page
}

// pageKey is the sentence that names a page.
func pageKey(page string) string {
	if page == PagePattern {
		return "web.page.pattern"
	}
	return words.Among("web.page.", page, PageReport, PageBuild, PageStand, PageShare, PageCheck, PageSize, PagePatternPrint)
}

// pageName is the page's name in the navigation.
func (p Page) pageName(page string) string {
	return p.Say.T(pageKey(page))
}

// newPage starts a page for the request.
func (s *Server) newPage(r *http.Request, title string) Page {
	return Page{Say: speaker(r), Title: title, Maker: fromHere(r), file: s.staticURL, fonts: s.fonts}
}

// clientWords are the sentences of the browser's side, as JSON-ready forms by key.
func clientWords() map[string]map[string]string { return words.Catalogue("client.") }
