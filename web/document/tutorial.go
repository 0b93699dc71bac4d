package document

import (
	"bytes"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"tuckring/internal/tutorial"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// tutorial makes what is needed to teach a figure, in one zip: one at a time, and part by part, so that other costly answers get their turn
// between the parts.
func (s *room) tutorial(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	select {
	case s.teaching <- struct{}{}:
		defer func() { <-s.teaching }()
	case <-r.Context().Done():
		return r.Context().Err()
	}
	line := func(name string) string { return strings.TrimSpace(r.URL.Query().Get(name)) }
	o := tutorial.Options{Settings: p.Settings, Credit: line("credit"), Licence: line("licence"), Address: line("address"), Small: line("small") != "",
		Turn: func(make func() error) error { return s.WaitTurn(r, make) }}
	var zip bytes.Buffer
	if err := tutorial.Write(r.Context(), &zip, p.Figure, o, kernel.Speaker(r)); err != nil {
		return common.NoReport(err)
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Length", strconv.Itoa(zip.Len()))
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": kernel.FileName(p.Figure.Title) + ".tutorial.zip"}))
	_, _ = w.Write(zip.Bytes()) // the reader may be gone; nothing is left to do then
	return nil
}
