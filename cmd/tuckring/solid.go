package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

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
	papers, err := readPapers(s, *o.colours)
	if err != nil {
		return err
	}
	mesh, err := readSolid(s, rest[0])
	if err != nil {
		return err
	}
	title := *o.title
	if title == "" {
		title = strings.TrimSuffix(filepath.Base(rest[0]), filepath.Ext(rest[0]))
	}
	r, err := solid.Make(context.Background(), mesh, solid.Options{Title: title, HeightMM: height, Units: *o.units, Up: up, Turn: *o.turn, Papers: papers, AllLimbs: *o.limbs, Edges: *o.edges})
	if err != nil {
		return err
	}
	if faults := r.Figure.NameFaults(); len(faults) > 0 {
		return faults
	}
	if err := o.spares(s, *o.out); err != nil {
		return err
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

// readPapers reads a file of colours.
func readPapers(s *streams, path string) ([]figure.Colour, error) {
	data, err := readBytes(s, path)
	if err != nil {
		return nil, err
	}
	return picture.Colours(data)
}

// readSolid reads a solid from a file, be it a pipe, with the files beside it that it names, or from standard input for "-".
func readSolid(s *streams, path string) (*solid.Mesh, error) {
	in, err := s.open(path)
	if err != nil {
		return nil, unreadableFile(path, err)
	}
	defer in.Close()
	if path == "-" {
		data, err := solid.ReadAll(in, 0)
		if err != nil {
			return nil, err
		}
		return solid.Read(context.Background(), data, nil)
	}
	size := int64(0)
	if about, err := os.Stat(path); err == nil && about.IsDir() {
		return nil, words.T("cli.read.file", "Path", clip(path), "Reason", "is a directory")
	} else if err == nil {
		size = about.Size()
	}
	data, err := solid.ReadAll(in, size)
	if err != nil {
		return nil, err
	}
	folder, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		return nil, unreadableFile(filepath.Dir(path), err)
	}
	defer folder.Close()
	return solid.Read(context.Background(), data, func(name string) ([]byte, error) { return readBeside(s, folder, name) })
}

// readBeside reads a file that a solid names. The solid may come from anybody: only plain files of its folder are read, and nothing
// that one could wait at for ever.
func readBeside(s *streams, folder *os.Root, name string) ([]byte, error) {
	file, err := folder.OpenFile(filepath.Base(name), os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, unreadableFile(name, err)
	}
	defer file.Close()
	about, err := file.Stat()
	if err != nil {
		return nil, unreadableFile(name, err)
	}
	if !about.Mode().IsRegular() {
		return nil, words.T("cli.read.file", "Path", clip(name), "Reason", "is no plain file")
	}
	s.note(file)
	return solid.ReadAll(file, about.Size())
}
