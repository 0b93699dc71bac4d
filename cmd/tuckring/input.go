package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

// open opens a file to read it, or standard input for "-", and notes which it is (spares).
func (s *streams) open(path string) (io.ReadCloser, error) {
	if path == "-" {
		if file, ok := s.in.(*os.File); ok {
			s.note(file)
		}
		return io.NopCloser(s.in), nil
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	s.note(file)
	return file, nil
}

func (s *streams) note(file *os.File) {
	if about, err := file.Stat(); err == nil {
		s.read = append(s.read, about)
	}
}

// spares refuses to write over a file that was read, whatever name it goes by.
func (o *options) spares(s *streams, path string) error {
	about, err := os.Stat(path)
	if err != nil {
		return nil // nothing is there, or writing says why not
	}
	for _, read := range s.read {
		if os.SameFile(read, about) {
			return o.wrong(words.T("cli.over", "Found", clip(filepath.Base(path))))
		}
	}
	return nil
}

// readDocument reads the bytes of a document: a file, or standard input for "-". It reads no more
// than a little over the limit of a document, so that an endless file cannot fill the memory.
func readDocument(s *streams, path string) ([]byte, error) {
	in, err := s.open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, figure.MaxBytes+1))
	if err != nil {
		return nil, unreadable(path, err)
	}
	return data, nil
}

func unreadable(path string, err error) error {
	return words.T("cli.read", "Path", clip(path), "Reason", reason(err))
}

// readBytes reads a file that goes with a picture or a solid, and a little over the limit of it.
func readBytes(s *streams, path string) ([]byte, error) {
	in, err := s.open(path)
	if err != nil {
		return nil, unreadableFile(path, err)
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, figure.MaxBytes+1))
	if err != nil {
		return nil, unreadableFile(path, err)
	}
	return data, nil
}

// unreadableFile is unreadable of a file that is no document.
func unreadableFile(path string, err error) error {
	return words.T("cli.read.file", "Path", clip(path), "Reason", reason(err))
}

// reason is what the system says went wrong with a file, without its path.
func reason(err error) string {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err.Error()
	case errors.As(err, &link):
		return link.Err.Error()
	}
	return err.Error()
}

// readFigure reads a figure document. The error lists every fault of a document that is refused.
func readFigure(s *streams, path string) (*figure.Figure, error) {
	data, err := readDocument(s, path)
	if err != nil {
		return nil, err
	}
	return figure.Read(data)
}

// writeJSON writes v as indented JSON; report.WriteJSON says how finely.
func writeJSON(s *streams, v any) error {
	return report.WriteJSON(s.out, v)
}
