package kernel

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

	File  func(name string) string
	fonts []string
	tabs  []Tab
}

// Here says which page of which figure is open.
type Here struct {
	Base  string // "/d/{id}", "/e/{token}" or "/v/{token}"
	Title string // the figure's
	Page  string // the last part of its address, "" for the first page
}

// Tab is a page of a figure: the last part of its address and what it is called.
type Tab struct {
	Page    string // "" for the figure's first page
	Name    words.Text
	OfMaker bool // only the maker may open it
}

// open lists the pages in the navigation that the reader may open.
func (p Page) open() []Tab {
	var out []Tab
	for _, t := range p.tabs {
		if p.Maker || !t.OfMaker {
			out = append(out, t)
		}
	}
	return out
}

// address is where one of the figure's pages stands.
func (h Here) address(page string) string {
	if page == "" {
		return h.Base
	}
	return h.Base + "/" + page
}

// NewPage starts a page for the request.
func (s *App) NewPage(r *http.Request, title string) Page {
	return Page{Say: Speaker(r), Title: title, Maker: fromHere(r), File: s.staticURL, fonts: s.fonts, tabs: s.tabs}
}

// clientWords are the sentences of the browser's side, as JSON-ready forms by key.
func clientWords() map[string]map[string]string { return words.Catalogue("client.") }
