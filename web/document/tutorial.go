package document

import (
	"io"
	"mime"
	"net/http"
	"os"
	"strconv"
	"strings"

	"tuckring/internal/tutorial"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// tutorial makes what is needed to teach a figure, in one zip: one at a time, into a file that is gone afterwards, and part by part, so that other costly answers get their turn
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
	zip, err := os.CreateTemp("", "tuckring-*.zip")
	if err != nil {
		return err
	}
	defer func() {
		zip.Close()
		os.Remove(zip.Name())
	}()
	if err := tutorial.Write(r.Context(), zip, p.Figure, o, kernel.Speaker(r)); err != nil {
		return common.NoReport(err)
	}
	size, err := zip.Seek(0, io.SeekCurrent)
	if err != nil {
		return err
	}
	if _, err := zip.Seek(0, io.SeekStart); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Length", strconv.FormatInt(size, 10))
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": kernel.FileName(p.Figure.Title) + ".tutorial.zip"}))
	_, _ = io.Copy(w, zip) // the reader may be gone; nothing is left to do then
	return nil
}
