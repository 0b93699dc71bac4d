package main

import (
	"flag"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/picture"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// pictureFlags are what `tuckring picture` is told.
type pictureFlags struct {
	*options
	units, rings, from, to, best, times *int
	colours, out, title, onto, part     *string
	stock, background                   *string
	front, flat, json, outline          *bool
	clean, edges, mirror                *bool
	spread                              *float64
}

func newPictureFlags() *pictureFlags {
	o := newOptions("picture", "IMAGE")
	return &pictureFlags{options: o,
		units: o.Int("units", 24, flagText("units")), rings: o.Int("rings", 30, flagText("rings")),
		colours: o.String("colours", "", flagText("colours")), out: o.String("out", "", flagText("figure_out")),
		title: o.String("title", "", flagText("title")),
		onto:  o.String("onto", "", flagText("onto")), part: o.String("part", "", flagText("onto_part")),
		from: o.Int("from-ring", 0, flagText("from_ring")), to: o.Int("to-ring", 0, flagText("to_ring")),
		front: o.Bool("front", false, flagText("front")), flat: o.Bool("flat", false, flagText("flat")), times: o.Int("times", 1, flagText("times")),
		best: o.Int("best", 0, flagText("best")), stock: o.String("stock", "", flagText("stock")), spread: o.Float64("spread", 0, flagText("spread")),
		edges: o.Bool("edges", false, flagText("edges")), clean: o.Bool("clean", false, flagText("clean")),
		mirror: o.Bool("mirror", false, flagText("mirror")), background: o.String("background", "", flagText("background")),
		json: o.Bool("json", false, flagText("json")), outline: o.Bool("outline", false, flagText("outline")),
	}
}

// fromPicture lays a picture around a new tube, or onto a present figure, and writes the figure.
func fromPicture(s *streams, args []string) error {
	o := newPictureFlags()
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	if err := o.check(rest[0]); err != nil {
		return err
	}
	make := o.tube
	switch {
	case *o.onto != "":
		make = o.present
	case *o.outline:
		make = o.shaped
	}
	f, r, err := make(s, rest[0])
	if err != nil {
		return err
	}
	if err := o.spares(s, *o.out); err != nil {
		return err
	}
	if err := writeFile(*o.out, f.Write()); err != nil {
		return err
	}
	if *o.json {
		return writeJSON(s, r.Tell())
	}
	fmt.Fprintln(s.out, words.English.T("cli.picture.done", "File", *o.out, "Count", f.Units()))
	for _, line := range r.Say() {
		fmt.Fprintln(s.out, words.English.Say(line))
	}
	return nil
}

// check refuses flags that miss or do not go together.
func (o *pictureFlags) check(image string) error {
	if *o.onto == "" {
		if err := o.needs("colours", *o.colours); err != nil {
			return err
		}
	}
	if err := o.needs("out", *o.out); err != nil {
		return err
	}
	alone, other := []string{"part", "from-ring", "to-ring", "front", "flat", "times"}, "--onto"
	if *o.onto != "" {
		alone, other = []string{"units", "rings", "title", "outline"}, ""
	}
	var wrong error
	o.Visit(func(f *flag.Flag) {
		if wrong != nil || !slices.Contains(alone, f.Name) {
			return
		}
		if other == "" {
			wrong = o.wrong(words.T("cli.picture.not_onto", "Flag", "--"+f.Name))
		} else {
			wrong = o.wrong(words.T("cli.picture.only_onto", "Flag", "--"+f.Name))
		}
	})
	switch {
	case wrong != nil:
		return wrong
	case *o.outline && o.given("rings"):
		return o.wrong(words.T("cli.picture.outline_rings"))
	case *o.flat && !*o.front:
		return o.wrong(words.T("cli.picture.flat"))
	case image == "-" && *o.onto == "-":
		return o.wrong(words.T("cli.picture.both"))
	case !(*o.spread >= 0 && *o.spread <= 1):
		return o.wrong(words.T("cli.picture.spread", "Found", *o.spread))
	case *o.best < 0:
		return o.wrong(words.T("cli.picture.best", "Found", *o.best))
	case *o.times < 1 || *o.times > picture.MaxTimes:
		return o.wrong(words.T("cli.picture.times", "Found", *o.times, "Most", picture.MaxTimes))
	}
	return nil
}

// choice is what the flags say of papers, with those to choose from; own are the figure's, for names of them.
func (o *pictureFlags) choice(s *streams, papers []figure.Colour) (picture.Choice, error) {
	c := picture.Choice{Papers: papers, Best: *o.best, Spread: *o.spread, Edges: *o.edges, Clean: *o.clean, Mirror: *o.mirror, Gains: true}
	if *o.stock != "" {
		data, err := readBytes(s, *o.stock)
		if err != nil {
			return c, err
		}
		if c.Stock, err = picture.Stock(data, papers); err != nil {
			return c, err
		}
	}
	if name := *o.background; name != "" {
		c.Background = true
		if name != "nearest" {
			id, ok := picture.PaperNamed(papers, name)
			if !ok {
				return c, words.T("picture.no_paper", "ID", name)
			}
			c.Ground = id
		}
	}
	return c, nil
}

// given says whether a flag was given.
func (o *pictureFlags) given(name string) (is bool) {
	o.Visit(func(f *flag.Flag) { is = is || f.Name == name })
	return is
}

// shaped makes a figure in the shape of the picture's motif.
func (o *pictureFlags) shaped(s *streams, path string) (*figure.Figure, *picture.Result, error) {
	papers, err := readPapers(s, *o.colours)
	if err != nil {
		return nil, nil, err
	}
	c, err := o.choice(s, papers)
	if err != nil {
		return nil, nil, err
	}
	img, err := readPicture(s, path)
	if err != nil {
		return nil, nil, err
	}
	made, err := picture.FromSilhouette(img, picture.Body{Title: o.titleFor(path), Unit: usualUnit, Gauge: shape.FromMemory(usualUnit), Units: *o.units, Choice: c})
	if err != nil {
		return nil, nil, err
	}
	if faults := made.Figure.NameFaults(); len(faults) > 0 {
		return nil, nil, faults
	}
	return made.Figure, made.Result, nil
}

// usualUnit is A9, the usual size (trade.md).
var usualUnit = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}

// titleFor is what the figure is called: by --title, or as the picture's file.
func (o *pictureFlags) titleFor(path string) string {
	if *o.title != "" {
		return *o.title
	}
	return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
}

// tube lays the picture around a new tube.
func (o *pictureFlags) tube(s *streams, path string) (*figure.Figure, *picture.Result, error) {
	papers, err := readPapers(s, *o.colours)
	if err != nil {
		return nil, nil, err
	}
	c, err := o.choice(s, papers)
	if err != nil {
		return nil, nil, err
	}
	img, err := readPicture(s, path)
	if err != nil {
		return nil, nil, err
	}
	f, r, err := picture.Pattern(img, picture.Options{Title: o.titleFor(path), Unit: usualUnit, Units: *o.units, Rings: *o.rings, Choice: c})
	if err != nil {
		return nil, nil, err
	}
	if faults := f.NameFaults(); len(faults) > 0 {
		return nil, nil, faults
	}
	return f, r, nil
}

// present lays the picture onto the figure of --onto.
func (o *pictureFlags) present(s *streams, path string) (*figure.Figure, *picture.Result, error) {
	f, err := readFigure(s, *o.onto)
	if err != nil {
		return nil, nil, err
	}
	papers := f.Colours
	if *o.colours != "" {
		if papers, err = readPapers(s, *o.colours); err != nil {
			return nil, nil, err
		}
	}
	names := slices.Concat(papers, f.Colours) // what the stock and the background may call papers by
	c, err := o.choice(s, names)
	if err != nil {
		return nil, nil, err
	}
	c.Papers = papers
	if *o.colours != "" {
		c = c.On(f)
	}
	img, err := readPicture(s, path)
	if err != nil {
		return nil, nil, err
	}
	part, err := o.partOf(f)
	if err != nil {
		return nil, nil, err
	}
	g, err := picture.NewGround(f, shape.FromMemory(f.Unit), part, *o.from, *o.to)
	if err != nil {
		return nil, nil, err
	}
	r, err := picture.Choose(g, img, g.Fit(img, o.way(), *o.times), c, picture.FullWork)
	if err != nil {
		return nil, nil, err
	}
	if _, _, err := figure.Apply(f, r.Edit()); err != nil {
		return nil, nil, err
	}
	return f, r, nil
}

func (o *pictureFlags) way() picture.Way {
	switch {
	case *o.flat:
		return picture.Flat
	case *o.front:
		return picture.Straight
	}
	return picture.Around
}

// partOf finds the part that --part names, 0 without it.
func (o *pictureFlags) partOf(f *figure.Figure) (figure.PartID, error) {
	if *o.part == "" {
		return 0, nil
	}
	var codes []string
	for i := range f.Parts {
		if f.Parts[i].Code == *o.part {
			return f.Parts[i].ID, nil
		}
		codes = append(codes, f.Parts[i].Code)
	}
	if len(codes) == 0 {
		return 0, words.T("cli.picture.one_part", "Found", clip(*o.part))
	}
	return 0, words.T("cli.picture.no_part", "Found", clip(*o.part), "Allowed", strings.Join(codes, ", "))
}

// readPicture reads a picture from a file, or from standard input for "-".
func readPicture(s *streams, path string) (*picture.Picture, error) {
	in, err := s.open(path)
	if err != nil {
		return nil, unreadableFile(path, err)
	}
	defer in.Close()
	return picture.Read(in)
}
