package begin

import (
	"errors"
	"io"
	"net/http"

	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// sentFile is a file that a form brings.
type sentFile struct {
	name string // without folders
	data []byte
}

// readSent reads a form that brings files in its field "file". Of what is typed in another field so many bytes are read; a file field
// in which nothing was chosen is none.
func readSent(r *http.Request, names map[string]words.Text) (form *kernel.Form, files []sentFile, err error) {
	const mostTyped, mostFields = 4 << 10, 100
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, nil, kernel.NewProblem(wire.CodeInvalid, "form")
	}
	values := map[string][]string{}
	for range mostFields {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return kernel.NewForm(values, names), files, nil
		}
		if err != nil {
			return nil, nil, kernel.CutShort(err)
		}
		if part.FormName() == "file" {
			data, err := io.ReadAll(part)
			if err != nil {
				return nil, nil, kernel.CutShort(err)
			}
			if len(data) > 0 || part.FileName() != "" {
				files = append(files, sentFile{bareName(part.FileName()), data})
			}
			continue
		}
		text, err := io.ReadAll(io.LimitReader(part, mostTyped))
		if err != nil {
			return nil, nil, kernel.CutShort(err)
		}
		values[part.FormName()] = append(values[part.FormName()], string(text))
	}
	return nil, nil, kernel.NewProblem(wire.CodeInvalid, "form")
}
