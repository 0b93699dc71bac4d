package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/picture"
	"tuckring/internal/solid"
	"tuckring/internal/words"
)

// solidFlags are what `tuckring solid` is told.
type solidFlags struct {
	*options
	height, colours, out, title, up *string
	units                           *int
	turn                            *float64
	edges, limbs, json              *bool
}

func newSolidFlags() *solidFlags {
	o := newOptions("solid", "MODEL")
	return &solidFlags{options: o,
		height: o.String("height", "", flagText("height")), units: o.Int("units", 0, flagText("around")),
		colours: o.String("colours", "", flagText("colours")), out: o.String("out", "", flagText("figure_out")),
		title: o.String("title", "", flagText("title_of_solid")),
		up:    o.String("up", "", flagText("up")), turn: o.Float64("turn", 0, flagText("turn")),
		edges: o.Bool("edges", false, flagText("edges")), limbs: o.Bool("limbs", false, flagText("limbs")), json: o.Bool("json", false, flagText("json")),
	}
}

// fromSolid makes rings of a solid and writes the figure.
func fromSolid(s *streams, args []string) error {
	o := newSolidFlags()
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	for _, need := range []struct{ flag, value string }{{"height", *o.height}, {"colours", *o.colours}, {"out", *o.out}} {
		if err := o.needs(need.flag, need.value); err != nil {
			return err
		}
	}
	height, err := o.number("height", *o.height)
	if err != nil {
		return err
	}
	up := solid.Up(*o.up)
	if up != "" && !slices.Contains(solid.Ups, up) {
		return o.wrong(words.T("cli.solid.up", "Found", clip(*o.up)))
	}
	papers, err := readPapers(*o.colours)
	if err != nil {
		return err
	}
	mesh, beside, err := readSolid(s, rest[0])
	if err != nil {
		return err
	}
	if err := o.spares(*o.out, append(beside, rest[0], *o.colours)...); err != nil {
		return err
	}
	title := *o.title
	if title == "" {
		title = strings.TrimSuffix(filepath.Base(rest[0]), filepath.Ext(rest[0]))
	}
	r, err := solid.Make(mesh, solid.Options{Title: title, HeightMM: height, Units: *o.units, Up: up, Turn: *o.turn, Papers: papers, AllLimbs: *o.limbs, Edges: *o.edges})
	if err != nil {
		return err
	}
	if faults := r.Figure.NameFaults(); len(faults) > 0 {
		return faults
	}
	if err := writeFile(*o.out, r.Figure.Write()); err != nil {
		return err
	}
	if *o.json {
		return writeJSON(s, r.Tell())
	}
	fmt.Fprintln(s.out, words.English.T("cli.solid.done", "File", *o.out, "Count", r.Figure.Units()))
	for _, line := range r.Say() {
		fmt.Fprintln(s.out, words.English.Say(line))
	}
	return nil
}

// readPapers reads a file of colours, and a little over the limit of it.
func readPapers(path string) ([]figure.Colour, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, figure.MaxBytes+1))
	if err != nil {
		return nil, unreadable(path, err)
	}
	return picture.Colours(data)
}

// readSolid reads a solid from a file, with the files beside it that it names, or from standard input for "-". beside are the
// paths of those that were read.
func readSolid(s *streams, path string) (mesh *solid.Mesh, beside []string, err error) {
	if path == "-" {
		data, err := solid.ReadAll(s.in, 0)
		if err != nil {
			return nil, nil, err
		}
		mesh, err = solid.Read(data, nil)
		return mesh, nil, err
	}
	data, err := readWhole(path)
	if err != nil {
		return nil, nil, err
	}
	folder := filepath.Dir(path)
	mesh, err = solid.Read(data, func(name string) ([]byte, error) {
		path := filepath.Join(folder, filepath.Base(name))
		data, err := readBeside(path)
		if err == nil {
			beside = append(beside, path)
		}
		return data, err
	})
	return mesh, beside, err
}

// readBeside reads a file that a solid names. What is no plain file, such as a pipe that nobody writes to, is not read.
func readBeside(path string) ([]byte, error) {
	about, err := os.Stat(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	if !about.Mode().IsRegular() {
		return nil, words.T("cli.read", "Path", clip(path), "Reason", "is no plain file")
	}
	return readWhole(path)
}

func readWhole(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer file.Close()
	about, err := file.Stat()
	if err != nil {
		return nil, unreadable(path, err)
	}
	if about.IsDir() {
		return nil, words.T("cli.read", "Path", clip(path), "Reason", "is a directory")
	}
	return solid.ReadAll(file, about.Size())
}
