package report

import (
	"archive/zip"
	"bytes"
	"io"
	"slices"
	"strings"
)

// orderedZip is a zip file whose parts come in one order, whatever the order they are made in: the workbook's library
// goes through its sheets as a map does. Open packaging (ISO/IEC 29500-2) asks for no order; the list of content types
// goes first, where readers of streams look for it.
type orderedZip struct {
	*zip.Writer
	parts []*zipPart
}

type zipPart struct {
	name string
	bytes.Buffer
}

const contentTypes = "[Content_Types].xml"

// Create begins a part; what is written to it stays in memory until Close.
func (z *orderedZip) Create(name string) (io.Writer, error) {
	part := &zipPart{name: name}
	z.parts = append(z.parts, part)
	return part, nil
}

// Close writes the file. The error is the writer's.
func (z *orderedZip) Close() error {
	slices.SortStableFunc(z.parts, func(a, b *zipPart) int { return strings.Compare(a.place(), b.place()) })
	for _, part := range z.parts {
		w, err := z.Writer.Create(part.name)
		if err != nil {
			return err
		}
		if _, err := part.WriteTo(w); err != nil {
			return err
		}
	}
	return z.Writer.Close()
}

// place is what parts are put in order by.
func (p *zipPart) place() string {
	if p.name == contentTypes {
		return ""
	}
	return p.name
}
