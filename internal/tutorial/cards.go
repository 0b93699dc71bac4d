package tutorial

import (
	"archive/zip"
	"context"
	"fmt"
	"image/color"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"tuckring/internal/draw"
)

// shape is a shape of cards: their pixels, and where picture and words stand, in mm of 10 pixels.
type shape struct {
	name          string
	width, height float64
	picture, text area
}

type area struct{ x, y, w, h float64 }

// pixelsPerMM of a card.
const pixelsPerMM = 10

// shapes are the two of films: 1920 × 1080 pixels, and 1080 × 1920 for phones.
var shapes = []shape{
	{"1920x1080", 192, 108, area{8, 10, 88, 88}, area{104, 10, 80, 88}},
	{"1080x1920", 108, 192, area{8, 10, 92, 92}, area{8, 110, 92, 72}},
}

var (
	ground = color.NRGBA{0xff, 0xfd, 0xf8, 255}
	inkOf  = color.NRGBA{0x2b, 0x2a, 0x33, 255}
	accent = color.NRGBA{0x0b, 0x6e, 0x6e, 255}
	warn   = color.NRGBA{0xa3, 0x27, 0x1c, 255}
)

// cards draws the cards of all steps, in both shapes, on all processors, and puts them into the zip in their order.
func (t *Tutorial) cards(ctx context.Context, z *zip.Writer, steps []Step) error {
	type card struct {
		name string
		data []byte
		err  error
	}
	jobs := make([]func() card, 0, len(shapes)*len(steps))
	for _, sh := range shapes {
		for i := range steps {
			jobs = append(jobs, func() card {
				data, err := t.card(&sh, &steps[i], i+1, len(steps)).PNG(pixelsPerMM * t.fine)
				return card{fmt.Sprintf("cards-%s/%03d-%s.png", sh.name, i+1, steps[i].Name), data, err}
			})
		}
	}
	workers := runtime.GOMAXPROCS(0)
	for from := 0; from < len(jobs); from += workers { // so many at once, and no more are kept in memory
		if err := ctx.Err(); err != nil {
			return err
		}
		some := jobs[from:min(from+workers, len(jobs))]
		out := make([]card, len(some))
		err := t.turn(func() error {
			var wait sync.WaitGroup
			for k, job := range some {
				wait.Go(func() { out[k] = job() })
			}
			wait.Wait()
			return nil
		})
		if err != nil {
			return err
		}
		for _, c := range out {
			if c.err != nil {
				return fmt.Errorf("%s: %w", c.name, c.err)
			}
			if err := t.put(z, c.name, c.data); err != nil {
				return err
			}
		}
	}
	return nil
}

// card is the picture of one step with its words. What is said is set as large as it fits.
func (t *Tutorial) card(sh *shape, st *Step, number, of int) *draw.Drawing {
	d := draw.NewDrawing(sh.width, sh.height, st.Heading)
	d.Add((&draw.Path{}).Rect(0, 0, sh.width, sh.height), draw.Paint{Fill: ground})
	text := sh.text
	if st.picture != nil {
		p := st.picture()
		scale := math.Min(sh.picture.w/p.Width, sh.picture.h/p.Height)
		d.Place(p, sh.picture.x+(sh.picture.w-p.Width*scale)/2, sh.picture.y+(sh.picture.h-p.Height*scale)/2, scale)
	} else {
		text = area{sh.picture.x, sh.picture.y, sh.text.x + sh.text.w - sh.picture.x, sh.text.y + sh.text.h - sh.picture.y}
	}
	if st.Code != "" {
		if code, err := draw.Code(st.Code, codeSide, t.say); err == nil { // one that is too long was refused before
			d.Place(code, text.x, text.y+text.h-codeSide, 1)
			text.h -= codeSide + 3
		}
	}
	said := paragraphs(st)
	for size := largest; ; size *= 0.94 {
		lines, high := layOut(said, size, text.w)
		if high > text.h && size >= smallest {
			continue
		}
		if high > text.h {
			lines = t.cut(lines, text.h)
		}
		for _, l := range lines {
			d.Write(draw.Label{X: text.x, Y: text.y + l.y, Text: l.text, Size: l.size, Bold: l.bold, Ink: l.ink})
		}
		break
	}
	d.Write(draw.Label{X: sh.width - 6, Y: sh.height - 4, Text: fmt.Sprintf("%d / %d", number, of), Size: 3.2, Anchor: draw.End, Ink: accent})
	return d
}

// codeSide is the side of a code on a card, mm: a quarter of its height, for cameras across a room.
const codeSide = 27.0

// Sizes of what is said, mm.
const (
	largest  = 6.4
	smallest = 2.4
)

// line is a line of a card.
type line struct {
	text string
	size float64
	bold bool
	ink  color.NRGBA
	y    float64 // of its foot, from the top
}

// layOut sets the words of a step in lines of a width, and tells how high they are.
func layOut(said []paragraph, size, width float64) (lines []line, high float64) {
	for _, p := range said {
		size := size * p.share
		for _, part := range p.broken(width / size) {
			high += size * 1.35
			lines = append(lines, line{part, size, p.bold, p.ink, high})
		}
		high += size * 0.55
	}
	return lines, high
}

// paragraph is something said, with its words measured once: widths are shares of the letters' size.
type paragraph struct {
	words  []string
	widths []float64
	space  float64
	share  float64 // of the card's size of letters
	bold   bool
	ink    color.NRGBA
}

// measured is at which size words are measured, mm.
const measured = 10.0

func paragraphs(st *Step) (out []paragraph) {
	add := func(text string, share float64, bold bool, ink color.NRGBA) {
		p := paragraph{words: strings.Fields(text), space: draw.TextWidth(" ", measured, bold) / measured, share: share, bold: bold, ink: ink}
		for _, w := range p.words {
			p.widths = append(p.widths, draw.TextWidth(w, measured, bold)/measured)
		}
		out = append(out, p)
	}
	add(st.Heading, 1.35, true, inkOf)
	for _, c := range st.Cautions {
		add(c, 0.8, true, warn)
	}
	for _, s := range st.Say {
		add(s, 1, false, inkOf)
	}
	return out
}

// broken breaks a paragraph into lines of a width, given in sizes of its letters, between words where it can.
func (p *paragraph) broken(width float64) (lines []string) {
	var now []string
	end := func() {
		if len(now) > 0 {
			lines, now = append(lines, strings.Join(now, " ")), nil
		}
	}
	used := 0.0
	for i, word := range p.words {
		if len(now) > 0 && used+p.space+p.widths[i] > width {
			end()
		}
		if len(now) == 0 {
			used = -p.space
		}
		if p.widths[i] > width { // a word wider than the line is cut
			each := max(1, int(width/p.widths[i]*float64(len([]rune(word)))*0.85))
			for part := range slices.Chunk([]rune(word), each) {
				end()
				now, used = []string{string(part)}, draw.TextWidth(string(part), measured, p.bold)/measured
			}
			continue
		}
		now, used = append(now, word), used+p.space+p.widths[i]
	}
	end()
	return lines
}

// cut leaves as many lines as fit into a height, and says where the rest is.
func (t *Tutorial) cut(lines []line, high float64) []line {
	keep := len(lines)
	for keep > 0 && lines[keep-1].y > high-2*smallest {
		keep--
	}
	return append(lines[:keep:keep], line{t.say.T("tutorial.more"), smallest * 1.3, true, accent, high})
}
