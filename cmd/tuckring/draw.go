package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// encoder is a picture or pages that can be written to a file.
type encoder interface {
	Encode(format draw.Format, pixelsPerMM float64) ([]byte, error)
}

// pictures are what draw can draw, by name.
var pictures = []struct {
	name string
	draw func(f *figure.Figure) (encoder, error)
}{
	{"pattern", func(f *figure.Figure) (encoder, error) {
		return draw.Pattern(f, draw.PatternOptions{Signs: true, Legend: true}).OnWhite(), nil
	}},
	{"figure", func(f *figure.Figure) (encoder, error) { return draw.Views(f, words.English).OnWhite(), nil }},
	{"cards", func(f *figure.Figure) (encoder, error) { return draw.Cards(f, draw.A4, words.English) }},
	{"handout", func(f *figure.Figure) (encoder, error) { return draw.Handout(f, draw.A4, words.English), nil }},
}

// drawFigure writes a picture of a figure to a file; the ending of its name says of which kind.
func drawFigure(s *streams, args []string) error {
	o := newOptions("draw", "FIGURE")
	what := o.String("what", pictures[0].name, flagText("what"))
	out := o.String("out", "", flagText("picture_out"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	if err := o.needs("out", *out); err != nil {
		return err
	}
	format := draw.Format(strings.ToLower(strings.TrimPrefix(filepath.Ext(*out), ".")))
	if format != draw.SVG && format != draw.PNG && format != draw.PDF {
		return o.wrong(words.T("cli.draw.format", "File", clip(*out)))
	}
	make, err := o.pictureOf(*what)
	if err != nil {
		return err
	}
	f, err := readFigure(s, rest[0])
	if err != nil {
		return err
	}
	picture, err := make(f)
	if err != nil {
		return err
	}
	data, err := picture.Encode(format, 0)
	if err != nil {
		return err
	}
	if err := writeFile(*out, data); err != nil {
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.draw.done", "File", *out))
	return nil
}

func (o *options) pictureOf(what string) (func(*figure.Figure) (encoder, error), error) {
	names := []string{}
	for _, p := range pictures {
		if p.name == what {
			return p.draw, nil
		}
		names = append(names, p.name)
	}
	return nil, o.wrong(words.T("cli.draw.what", "Found", clip(what), "Allowed", strings.Join(names, ", ")))
}

// writeFile writes a file whole or not at all: under another name beside it first. A file that
// stands there is replaced.
func writeFile(path string, data []byte) error {
	return writeBy(path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// disk is a file that remembers what went wrong when it was written.
type disk struct {
	*os.File
	err error
}

func (d *disk) Write(b []byte) (int, error) {
	n, err := d.File.Write(b)
	if err != nil {
		d.err = err
	}
	return n, err
}

// writeBy is writeFile for what fill writes, piece by piece. Its own errors are given as they are.
func writeBy(path string, fill func(w io.Writer) error) error {
	failed := func(err error) error {
		return words.T("cli.draw.write", "File", clip(path), "Reason", reason(err))
	}
	part, err := os.CreateTemp(filepath.Dir(path), ".tuckring-*")
	if err != nil {
		return failed(err)
	}
	defer os.Remove(part.Name()) // gone already when all went well
	to := &disk{File: part}
	if err := fill(to); err != nil || to.err != nil {
		part.Close()
		if to.err != nil {
			return failed(to.err)
		}
		return err
	}
	if err := part.Close(); err != nil {
		return failed(err)
	}
	if err := os.Chmod(part.Name(), 0o644); err != nil {
		return failed(err)
	}
	if err := os.Rename(part.Name(), path); err != nil {
		return failed(err)
	}
	return nil
}
