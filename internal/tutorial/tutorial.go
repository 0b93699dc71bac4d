// Package tutorial makes of a figure what is needed to teach it: the handout, cards for a film, its script, and pictures that move, in one
// zip with the figure's document. Everything is made here, without asking anybody outside.
package tutorial

import (
	"archive/zip"
	"context"
	"fmt"
	"io"
	"time"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/guide"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

// Options say what the maker wants of a tutorial.
type Options struct {
	Settings report.Settings
	Credit   string // a line of the maker's: whose figure it is
	Licence  string // a line of the maker's: what may be done with it
	Address  string // where more is to be found
	Small    bool   // pictures of a third of the width and height, to look a tutorial over
	Told     func(done, all int)
	// Turn makes one part, some seconds at the most, when it is its turn; nil makes it at once. Its errors end the tutorial.
	Turn func(make func() error) error
}

// MaxLine is how long a line of the maker's may be, in characters.
const MaxLine = 200

// mostOnCards is how many units are drawn one by one on a card; of larger figures coarse patches stand for them.
const mostOnCards = 4000

// Tutorial is being made of one figure.
type Tutorial struct {
	f       *figure.Figure
	o       Options
	say     *words.Speaker
	guide   *guide.Guide
	growing *draw.BuildUp
	fine    float64 // how fine pictures are drawn, 1 as they are handed out
	all     []Step
	done    int
	parts   int
}

// Write makes the tutorial of a figure that Validate accepts and writes it as a zip. It fails when the settings do not go with the figure (a
// figure.Faults), when a line of the maker's cannot be shown, with the context's error when nobody waits any more, and with the writer's.
func Write(ctx context.Context, w io.Writer, f *figure.Figure, o Options, say *words.Speaker) error {
	t := &Tutorial{f: f, o: o, say: say, fine: 1}
	if o.Small {
		t.fine = 1.0 / 3
	}
	return t.write(ctx, w)
}

func (t *Tutorial) write(ctx context.Context, w io.Writer) error {
	f, say := t.f, t.say
	if err := t.o.check(); err != nil {
		return err
	}
	var steps []Step
	err := t.turn(func() (err error) {
		steps, err = t.prepare(ctx)
		return err
	})
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	handouts := []struct {
		name string
		size draw.PageSize
	}{{"handout-a4.pdf", draw.A4}, {"handout-letter.pdf", draw.Letter}}
	t.parts = len(handouts) + len(shapes)*len(steps) + 2 + 2 + 1
	for _, h := range handouts {
		if err := t.file(ctx, z, h.name, func() ([]byte, error) { return draw.Handout(f, h.size, say).PDF() }); err != nil {
			return err
		}
	}
	if err := t.cards(ctx, z, steps); err != nil {
		return err
	}
	for _, last := range []struct {
		name string
		make func() ([]byte, error)
	}{
		{"script.md", func() ([]byte, error) { return t.script(steps, true), nil }},
		{"script.txt", func() ([]byte, error) { return t.script(steps, false), nil }},
		{"turntable.webp", func() ([]byte, error) { return t.turntable(ctx) }},
		{"build-up.webp", func() ([]byte, error) { return t.buildUp(ctx) }},
		{"figure.tuckring.json", func() ([]byte, error) { return f.Write(), nil }},
	} {
		if err := t.file(ctx, z, last.name, last.make); err != nil {
			return err
		}
	}
	return z.Close()
}

// prepare finds out what there is to say and to show.
func (t *Tutorial) prepare(ctx context.Context) ([]Step, error) {
	t.guide, t.growing = guide.Make(t.f), draw.NewBuildUp(t.f, draw.ThreeQuarter, mostOnCards, t.say)
	return t.steps(ctx)
}

// check refuses lines that cannot be shown.
func (o *Options) check() error {
	for _, line := range []struct{ name, text string }{{"credit", o.Credit}, {"licence", o.Licence}, {"address", o.Address}} {
		if what, fix, bad := figure.TextFault(line.text, MaxLine, false); bad {
			return figure.Faults{{Where: line.name, What: what, Fix: fix}}
		}
	}
	return nil
}

// file makes one file of the zip. Its time is none, so that a tutorial of the same figure is the same to the byte.
func (t *Tutorial) file(ctx context.Context, z *zip.Writer, name string, make func() ([]byte, error)) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	var data []byte
	err := t.turn(func() (err error) {
		data, err = make()
		return err
	})
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return t.put(z, name, data)
}

func (t *Tutorial) turn(make func() error) error {
	if t.o.Turn == nil {
		return make()
	}
	return t.o.Turn(make)
}

func (t *Tutorial) put(z *zip.Writer, name string, data []byte) error {
	f, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		return err
	}
	t.done++
	if t.o.Told != nil {
		t.o.Told(t.done, t.parts)
	}
	return nil
}
