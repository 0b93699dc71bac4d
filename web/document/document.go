// Package document hands a figure out as files to take along: its document and its handout.
package document

import (
	"mime"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/kernel"
)

// room answers for the place: the kernel, as its handlers use it.
type room struct {
	*kernel.App
	teaching chan struct{} // holds one while a tutorial is made and sent: each takes some tens of megabytes of the disk
}

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app, teaching: make(chan struct{}, 1)}
	return kernel.Room{Name: "document", Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/document", kernel.NeedsMaker, s.document),
		kernel.Get(kernel.OfFigure+"/handout-{paper}.pdf", kernel.NeedsView, s.handout),
		kernel.Get(kernel.OfFigure+"/tutorial.zip", kernel.NeedsMaker, s.tutorial),
		kernel.Get("/figure.schema.json", kernel.NeedsNothing, schema),
	}}
}

// schema is what a figure's document looks like, for programs that write or read one.
func schema(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "application/schema+json")
	_, _ = w.Write(figure.Schema) // the reader may be gone; nothing is left to do then
	return nil
}

// document hands out the figure's document as a file.
func (s *room) document(w http.ResponseWriter, r *http.Request) error {
	var data []byte
	var title string
	err := s.Store.Look(r.Context(), kernel.AccessOf(r).Design, func(n store.Now) error {
		data, title = n.Figure.Write(), n.Figure.Title
		return nil
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": kernel.FileName(title) + ".tuckring.json"}))
	_, _ = w.Write(data) // the reader may be gone; nothing is left to do then
	return nil
}
