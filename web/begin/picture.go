package begin

import (
	"bytes"
	"errors"
	"net/http"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/picture"
	"tuckring/internal/shape"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// pictureWays are the ways in which a new figure follows a picture, the first chosen at first.
var pictureWays = []string{"outline", "front", "around"}

// mostPicture is how much may be sent with a picture, which may be as large as any that is read, in bytes.
const mostPicture = picture.MaxBytes + 1<<20

// mostColours is how many papers a figure that begins with a picture has at most at first.
const mostColours = 12

// fromPicture makes a figure of a picture and puts it on the shelf.
func (s *room) fromPicture(w http.ResponseWriter, r *http.Request) error {
	form, files, err := readSent(r, newNames)
	if err != nil {
		return err
	}
	var data []byte
	if len(files) > 0 {
		data = files[0].data
	}
	return s.InTurn(func(w http.ResponseWriter, r *http.Request) error {
		hand, err := s.hand(r.Context())
		if err != nil {
			return err
		}
		f := readPicture(kernel.Speaker(r), form, data, hand.gauge)
		if f == nil {
			return s.render(w, r, http.StatusUnprocessableEntity, Start{Door: doorOf("picture"), Form: form})
		}
		return s.keep(w, r, f, hand.settings(f.Unit).Write())
	})(w, r)
}

// readPicture makes the figure that the form describes of a picture; what is wrong is noted in the form.
func readPicture(say *words.Speaker, form *kernel.Form, data []byte, gauge func(figure.Unit) shape.Gauge) *figure.Figure {
	title := readTitle(form)
	units := form.Whole("units", outline.LeastWidest, 200)
	colours := form.Whole("colours", 2, mostColours)
	unit := readUnit(form)
	way := form.Value("way")
	if way != "outline" && way != "front" && way != "around" {
		form.Refuse("way", words.T("web.form.choose"))
	}
	if len(data) == 0 {
		form.Refuse("file", words.T("begin.picture.none"))
		return nil
	}
	p, err := picture.Read(bytes.NewReader(data))
	var why words.Text
	if errors.As(err, &why) {
		form.Refuse("file", why)
	}
	if !form.OK() || err != nil {
		return nil
	}
	choice, g := picture.Choice{Papers: readyPapers(say), Best: colours, Clean: true}, gauge(unit)
	var f *figure.Figure
	if way == "outline" {
		choice.Edges = true // a drawing, more often than a photo
		var made *picture.Shaped
		if made, err = picture.FromSilhouette(p, picture.Body{Title: title, Unit: unit, Gauge: g, Units: units, Choice: choice}); err == nil {
			f = made.Figure
		}
	} else {
		o := picture.Options{Title: title, Unit: unit, Units: units, Way: picture.Straight, Choice: choice, Gauge: &g}
		if way == "around" {
			o.Way = picture.Around
		}
		if o.Rings = p.Rings(o.Way, units, g); o.Rings*units > figure.MaxAllUnits {
			form.Refuse("units", words.T("figure.too_many_units", "Found", units*o.Rings), words.T("figure.too_many_units.fix", "Max", figure.MaxAllUnits))
			return nil
		}
		f, _, err = picture.Pattern(p, o)
	}
	if err != nil {
		refuse(form, "file", err)
		return nil
	}
	return f
}

// readyPapers are the ready papers as colours of a figure.
func readyPapers(say *words.Speaker) []figure.Colour {
	out := make([]figure.Colour, len(figure.Papers))
	for i, p := range figure.Papers {
		out[i] = figure.Colour{ID: p.ID, Name: strings.TrimSpace(say.Say(p.Name())), Hex: p.Hex}
	}
	return out
}
