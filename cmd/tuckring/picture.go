package main

import (
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/picture"
	"tuckring/internal/words"
)

// fromPicture turns a picture into the document of a plain tube.
func fromPicture(s *streams, args []string) error {
	o := newOptions("picture", "IMAGE")
	units := o.Int("units", 24, flagText("units"))
	rings := o.Int("rings", 30, flagText("rings"))
	colours := o.String("colours", "", flagText("colours"))
	out := o.String("out", "", flagText("figure_out"))
	title := o.String("title", "", flagText("title"))
	clean := o.Bool("clean", false, flagText("clean"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	if err := o.needs("colours", *colours); err != nil {
		return err
	}
	if err := o.needs("out", *out); err != nil {
		return err
	}
	papers, err := readColours(*colours)
	if err != nil {
		return err
	}
	img, err := readPicture(s, rest[0])
	if err != nil {
		return err
	}
	if *title == "" {
		*title = strings.TrimSuffix(filepath.Base(rest[0]), filepath.Ext(rest[0]))
	}
	unit := figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled} // A9, the usual size (trade.md)
	f, err := picture.Pattern(img, picture.Options{Title: *title, Unit: unit, Units: *units, Rings: *rings, Colours: papers, Clean: *clean})
	if err != nil {
		return err
	}
	if faults := f.NameFaults(); len(faults) > 0 {
		return faults
	}
	if err := writeFile(*out, f.Write()); err != nil {
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.picture.done", "File", *out, "Count", f.Units()))
	return nil
}

func readColours(path string) ([]figure.Colour, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, words.T("cli.picture.read", "Path", clip(path), "Reason", reason(err))
	}
	return picture.Colours(data)
}

// readPicture reads a picture from a file, or from standard input for "-".
func readPicture(s *streams, path string) (image.Image, error) {
	if path == "-" {
		return picture.Read(s.in)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, words.T("cli.picture.read", "Path", clip(path), "Reason", reason(err))
	}
	defer file.Close()
	return picture.Read(file)
}
