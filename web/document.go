package web

import (
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"strings"
	"unicode"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/words"
)

func (s *Server) documentRoom() Room {
	return Room{Name: "document", Routes: []Route{
		Get(OfFigure+"/document", NeedsMaker, s.document),
		Get(OfFigure+"/handout-{paper}.pdf", NeedsView, s.handout),
	}}
}

// openDocument puts the figure of a chosen document on the shelf. A refused document gets a page with
// every fault, and the form to choose another.
func (s *Server) openDocument(w http.ResponseWriter, r *http.Request) error {
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
	d, err := s.cfg.Store.Create(r.Context(), f)
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

func (s *Server) renderRefused(w http.ResponseWriter, r *http.Request, name string, faults figure.Faults, wrong ...words.Text) error {
	page := s.newPage(r, speaker(r).T("web.problem.document.title"))
	page.Styles = []string{"shelf"}
	return render(w, r, http.StatusUnprocessableEntity, RefusedPage(page, name, faults, wrong))
}

var errNoFile = errors.New("no file was chosen")

// sentFile reads the file that a form sent in the given field. It fails with errNoFile when none was
// chosen, and with *http.MaxBytesError when the body is over the limit.
func sentFile(r *http.Request, field string) (data []byte, name string, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, "", problem(CodeInvalid, "form")
	}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return nil, "", errNoFile
		}
		if err != nil {
			return nil, "", cutShort(err)
		}
		if part.FormName() != field {
			continue
		}
		data, err := io.ReadAll(part)
		if err != nil {
			return nil, "", cutShort(err)
		}
		if part.FileName() == "" && len(data) == 0 {
			return nil, "", errNoFile
		}
		return data, part.FileName(), nil
	}
}

// cutShort tells a body that is too long from one that broke off on its way.
func cutShort(err error) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	if errors.Is(err, multipart.ErrMessageTooLarge) {
		return problem(CodeTooLarge, "too_large")
	}
	return problem(CodeInvalid, "cut_short")
}

// document hands out the figure's document as a file.
func (s *Server) document(w http.ResponseWriter, r *http.Request) error {
	var data []byte
	var title string
	err := s.cfg.Store.Look(r.Context(), accessOf(r).design, func(n store.Now) error {
		data, title = n.Figure.Write(), n.Figure.Title
		return nil
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": fileName(title) + ".tuckring.json"}))
	_, _ = w.Write(data) // the reader may be gone; nothing is left to do then
	return nil
}

// maxFileName is the most characters of a title that go into a file's name.
const maxFileName = 60

// fileName makes a file's name of a title: letters and digits of any script, all else becomes "-".
func fileName(title string) string {
	var b strings.Builder
	gap, n := false, 0
	for _, c := range title {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) && !unicode.IsMark(c) {
			gap = b.Len() > 0
			continue
		}
		if n++; n > maxFileName {
			break
		}
		if gap {
			b.WriteByte('-')
			gap = false
		}
		b.WriteRune(c)
	}
	if b.Len() == 0 {
		return "figure"
	}
	return b.String()
}
