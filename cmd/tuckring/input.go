package main

import (
	"errors"
	"io"
	"io/fs"
	"os"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

// readDocument reads the bytes of a document: a file, or standard input for "-". It reads no more
// than a little over the limit of a document, so that an endless file cannot fill the memory.
func readDocument(s *streams, path string) ([]byte, error) {
	in := s.in
	if path != "-" {
		file, err := os.Open(path)
		if err != nil {
			return nil, unreadable(path, err)
		}
		defer file.Close()
		in = file
	}
	data, err := io.ReadAll(io.LimitReader(in, figure.MaxBytes+1))
	if err != nil {
		return nil, unreadable(path, err)
	}
	return data, nil
}

func unreadable(path string, err error) error {
	return words.T("cli.read", "Path", clip(path), "Reason", reason(err))
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
