package shelf

import (
	"errors"
	"io"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// openDocument puts the figure of a chosen document on the shelf. A refused document gets a page with
// every fault, and the form to choose another.
func (s *room) openDocument(w http.ResponseWriter, r *http.Request) error {
	data, name, err := sentFile(r, "document")
	if errors.Is(err, errNoFile) {
		return s.renderRefused(w, r, "", nil, words.T("web.open.none"))
	}
	if err != nil {
		return err
	}
	f, err := readSent(data)
	var faults figure.Faults
	if errors.As(err, &faults) {
		return s.renderRefused(w, r, name, faults)
	}
	if err != nil {
		return err
	}
	d, err := s.Store.Create(r.Context(), f)
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/d/"+d.ID, http.StatusSeeOther)
	return nil
}

// readSent reads a document that comes from outside: its names must be such as can be given today.
func readSent(data []byte) (*figure.Figure, error) {
	f, err := figure.Read(data)
	if err != nil {
		return nil, err
	}
	if faults := f.NameFaults(); len(faults) > 0 {
		return nil, faults
	}
	return f, nil
}

func (s *room) renderRefused(w http.ResponseWriter, r *http.Request, name string, faults figure.Faults, wrong ...words.Text) error {
	page := s.NewPage(r, kernel.Speaker(r).T("web.problem.document.title"))
	page.Styles = []string{"shelf"}
	return kernel.Render(w, r, http.StatusUnprocessableEntity, RefusedPage(page, name, faults, wrong))
}

var errNoFile = errors.New("no file was chosen")

// sentFile reads the file that a form sent in the given field. It fails with errNoFile when none was
// chosen, and with *http.MaxBytesError when the body is over the limit.
func sentFile(r *http.Request, field string) (data []byte, name string, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, "", kernel.NewProblem(wire.CodeInvalid, "form")
	}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return nil, "", errNoFile
		}
		if err != nil {
			return nil, "", kernel.CutShort(err)
		}
		if part.FormName() != field {
			continue
		}
		data, err := io.ReadAll(part)
		if err != nil {
			return nil, "", kernel.CutShort(err)
		}
		if part.FileName() == "" && len(data) == 0 {
			return nil, "", errNoFile
		}
		return data, part.FileName(), nil
	}
}
