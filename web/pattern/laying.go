package pattern

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"image"
	"io"
	"maps"
	"net/http"
	"slices"
	"sync"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/picture"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// keepPicture takes a picture that is to be laid over a figure, as the bytes of its file, and keeps it for a while.
func (s *room) keepPicture(w http.ResponseWriter, r *http.Request) error {
	if err := s.Work.Check(r); err != nil {
		return err
	}
	data, err := io.ReadAll(r.Body)
	if err != nil {
		return kernel.CutShort(err)
	}
	say, name := kernel.Speaker(r), pictureName(data)
	var read *picture.Picture
	err = s.WaitTurn(r, func() (err error) {
		if err = s.Work.Check(r); err != nil {
			return err
		}
		read, err = readSmall(data)
		s.Work.TakeFor(r, wire.MaxPicturePixels/pixelsAWork)
		return err
	})
	if why, ok := textOf(err); ok {
		return kernel.ProblemAt("picture", "picture.unread", "Why", say.Say(why))
	}
	if err != nil {
		return err
	}
	s.pictures.keep(kernel.AccessOf(r).Design, name, read, time.Now())
	kernel.WriteJSON(w, http.StatusOK, wire.PictureKept{Picture: name, Width: read.Width, Height: read.Height})
	return nil
}

// pixelsAWork is how many pixels are read in about the time of a unit of work of an edit (own measure).
const pixelsAWork = 100

// pictureName is the same for the same file.
func pictureName(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// readSmall reads a picture of at most wire.MaxPicturePixels; one with more is refused before its pixels are read.
func readSmall(data []byte) (*picture.Picture, error) {
	if head, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil && head.Width > 0 && head.Height > wire.MaxPicturePixels/head.Width {
		return nil, words.T("web.picture.many", "Width", head.Width, "Height", head.Height, "Most", wire.MaxPicturePixels)
	}
	p, err := picture.Read(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return p.Compact(), nil
}

// textOf is what an error says, where it is a sentence of ours.
func textOf(err error) (words.Text, bool) {
	var text words.Text
	ok := errors.As(err, &text)
	return text, ok
}

// tryPicture tells what papers the units would get under a picture, without making a step.
func (s *room) tryPicture(w http.ResponseWriter, r *http.Request) error {
	if err := s.Work.Check(r); err != nil {
		return err
	}
	var asked wire.PictureAsk
	if err := kernel.ReadJSON(r, &asked); err != nil {
		return err
	}
	p := s.pictures.find(kernel.AccessOf(r).Design, asked.Picture, time.Now())
	if p == nil {
		return kernel.NewProblem(wire.CodeConflict, "picture.gone")
	}
	var out wire.PictureTrial
	err := s.WaitTurn(r, func() (err error) {
		if err = s.Work.Check(r); err == nil {
			out, err = s.lay(r, p, asked)
		}
		return err
	})
	if err != nil {
		return err
	}
	kernel.WriteJSON(w, http.StatusOK, out)
	return nil
}

// lay works out what a picture would make of the figure as it is now.
func (s *room) lay(r *http.Request, p *picture.Picture, asked wire.PictureAsk) (wire.PictureTrial, error) {
	say := kernel.Speaker(r)
	now, err := s.Present(r)
	if err != nil {
		return wire.PictureTrial{}, err
	}
	out := wire.PictureTrial{Rev: now.Rev, Lay: asked.Lay}
	err = layOver(&out, say, now, p, asked)
	s.Work.TakeFor(r, picture.LiveWork/visitsAWork)
	if why, ok := textOf(err); ok {
		out.Refused = &wire.Refusal{What: say.Say(why)}
		return out, nil
	}
	return out, err
}

// visitsAWork is how many visits of a unit and a paper take about the time of a unit of work of an edit (own measure).
const visitsAWork = 1000

func layOver(out *wire.PictureTrial, say *words.Speaker, now kernel.Present, p *picture.Picture, asked wire.PictureAsk) error {
	l := asked.Lay
	ground, err := picture.NewGround(now.Figure, now.Gauge(), l.Part, l.From, l.To)
	if err != nil {
		return err
	}
	out.Around, out.Rise, out.Open = ground.Wall()
	if asked.Fit {
		if !slices.Contains(picture.Ways, l.Way) || l.Times < 0 || l.Times > picture.MaxTimes {
			l.Height = 1 // whatever else is wrong is told of as always
			l.Width = 1
		} else {
			l = ground.Refit(p, l)
		}
		out.Lay = l
	}
	choice, err := choiceOf(say, now.Figure, asked.Choice)
	if err != nil {
		return err
	}
	result, err := picture.Choose(ground, p, l, choice, picture.LiveWork)
	if err != nil {
		return err
	}
	out.Tell(say, result)
	return nil
}

// choiceOf reads what a page asks for; it fails where a stock is said twice.
func choiceOf(say *words.Speaker, f *figure.Figure, asked wire.PictureChoice) (picture.Choice, error) {
	c := picture.Choice{
		Best: asked.Best, Spread: asked.Spread, Edges: asked.Edges, Clean: asked.Clean, Mirror: asked.Mirror,
		Background: asked.Background, Ground: asked.Ground, Gains: asked.Gains,
	}
	if asked.Ready {
		c.Papers = slices.Clone(f.Colours)
		for _, ready := range figure.Papers {
			if len(c.Papers) < figure.MaxColours && !slices.ContainsFunc(f.Colours, func(own figure.Colour) bool { return own.ID == ready.ID || own.Hex == ready.Hex }) {
				c.Papers = append(c.Papers, figure.Colour{ID: ready.ID, Name: say.Say(ready.Name()), Hex: ready.Hex})
			}
		}
	}
	for _, s := range asked.Stock {
		if c.Stock == nil {
			c.Stock = map[string]int{}
		}
		if _, ok := c.Stock[s.Colour]; ok {
			name := s.Colour
			if i, ok := f.ColourIndex(s.Colour); ok {
				name = f.Colours[i].Name
			}
			return c, words.T("web.picture.stock_twice", "Name", name)
		}
		c.Stock[s.Colour] = s.Units
	}
	return c, nil
}

// readSheets tells the colours of sheets of paper in a photo.
func (s *room) readSheets(w http.ResponseWriter, r *http.Request) error {
	if err := s.Work.Check(r); err != nil {
		return err
	}
	var asked wire.SheetsAsk
	if err := kernel.ReadJSON(r, &asked); err != nil {
		return err
	}
	p := s.pictures.find(kernel.AccessOf(r).Design, asked.Picture, time.Now())
	if p == nil {
		return kernel.NewProblem(wire.CodeConflict, "picture.gone")
	}
	say := kernel.Speaker(r)
	var out wire.SheetsRead
	err := s.WaitTurn(r, func() (err error) {
		if err = s.Work.Check(r); err != nil {
			return err
		}
		sheets, err := p.Sheets(asked.White, asked.At)
		s.Work.TakeFor(r, wire.MaxPicturePixels/pixelsAWork)
		for _, sheet := range sheets {
			name := say.T("web.picture.sheet", "Name", say.Say(sheet.Like.Name()))
			out.Sheets = append(out.Sheets, wire.SheetRead{Name: name, Hex: sheet.Hex, Uneven: sheet.Uneven > picture.Uneven})
		}
		return err
	})
	if why, ok := textOf(err); ok {
		out.Refused, err = &wire.Refusal{What: say.Say(why)}, nil
	}
	if err != nil {
		return err
	}
	kernel.WriteJSON(w, http.StatusOK, out)
	return nil
}

// pictures are those that pages have sent, by the design they are for: so many of each design, so many pixels in all, and none for
// longer than it is used.
type pictures struct {
	mu   sync.Mutex
	kept map[pictureKey]*keptPicture
}

type pictureKey struct{ design, name string }

type keptPicture struct {
	picture *picture.Picture
	used    time.Time
}

func (k *keptPicture) pixels() int { return k.picture.Width * k.picture.Height }

const (
	keepPixels   = 10 * wire.MaxPicturePixels // in memory at most 4 bytes each (Compact)
	keepPictures = 200
	keepOfDesign = 4
	keepUnused   = 30 * time.Minute
)

// keep puts a picture there. Where there are too many, it lets go of those that were not used for longest: of the same design
// where that has too many; where all have, of the design that has most.
func (k *pictures) keep(design, name string, p *picture.Picture, now time.Time) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.sweep(now)
	if k.kept == nil {
		k.kept = map[pictureKey]*keptPicture{}
	}
	mine := pictureKey{design, name}
	k.kept[mine] = &keptPicture{p, now}
	for k.crowded(design) {
		from := design
		if k.of(design) <= keepOfDesign {
			from = k.largest()
		}
		if !k.drop(from, mine) {
			return
		}
	}
}

// sweep lets go of what was not used for long.
func (k *pictures) sweep(now time.Time) {
	maps.DeleteFunc(k.kept, func(_ pictureKey, e *keptPicture) bool { return now.Sub(e.used) > keepUnused })
}

// crowded says that there are too many, of a design or in all.
func (k *pictures) crowded(design string) bool {
	pixels := 0
	for _, e := range k.kept {
		pixels += e.pixels()
	}
	return pixels > keepPixels || len(k.kept) > keepPictures || k.of(design) > keepOfDesign
}

// of counts the pictures of a design.
func (k *pictures) of(design string) (n int) {
	for key := range k.kept {
		if key.design == design {
			n++
		}
	}
	return n
}

// largest is the design whose pictures have most pixels; of several, the one whose pictures were all used longest ago.
func (k *pictures) largest() (design string) {
	pixels, used := map[string]int{}, map[string]time.Time{}
	for key, e := range k.kept {
		pixels[key.design] += e.pixels()
		if e.used.After(used[key.design]) {
			used[key.design] = e.used
		}
	}
	return slices.MaxFunc(slices.Collect(maps.Keys(pixels)), func(a, b string) int {
		return cmp.Or(cmp.Compare(pixels[a], pixels[b]), used[b].Compare(used[a]), cmp.Compare(a, b))
	})
}

// drop lets go of the picture of a design that was not used for longest, but for one; false where there is none.
func (k *pictures) drop(design string, but pictureKey) bool {
	var oldest *pictureKey
	for key, e := range k.kept {
		if key.design == design && key != but && (oldest == nil || e.used.Before(k.kept[*oldest].used)) {
			oldest = &key
		}
	}
	if oldest == nil {
		return false
	}
	delete(k.kept, *oldest)
	return true
}

// find gives the picture that was sent for a design under a name, nil where it is gone.
func (k *pictures) find(design, name string, now time.Time) *picture.Picture {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.sweep(now)
	e := k.kept[pictureKey{design, name}]
	if e == nil {
		return nil
	}
	e.used = now
	return e.picture
}
