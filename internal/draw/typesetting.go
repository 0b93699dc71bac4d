package draw

import (
	"fmt"
	"strings"

	"tuckring/internal/words"
)

// PageSize is the size of a printed page, mm.
type PageSize struct{ Width, Height float64 }

// The pages that are printed on (ISO 216; ANSI/ASME Y14.1).
var (
	A4     = PageSize{210, 297}
	Letter = PageSize{215.9, 279.4}
)

// AnyPage goes on either of them: as wide as the narrower, and a little less high than the lower.
var AnyPage = PageSize{210, 278}

// pageBorder is left free all around a page, mm: no common printer needs more.
const pageBorder = 15.0

// Encode writes the pages: as PDF one page each, as SVG or PNG one below the other.
func (ps Pages) Encode(format Format, pixels float64) ([]byte, error) {
	if format == PDF {
		return ps.PDF()
	}
	if len(ps) == 0 {
		return nil, fmt.Errorf("draw: there are no pages to write")
	}
	return ps.joined().Encode(format, pixels)
}

// joined puts the pages one below the other, on white.
func (ps Pages) joined() *Drawing {
	const gap = 4.0
	width, height := 0.0, -gap
	for _, p := range ps {
		width = max(width, p.Width)
		height += p.Height + gap
	}
	out := NewDrawing(width, height, ps[0].Title)
	y := 0.0
	for _, p := range ps {
		out.Add((&Path{}).Rect(0, y, p.Width, p.Height), Paint{Fill: white, Stroke: hair, Line: 0.2})
		out.Place(p, 0, y, 1)
		y += p.Height + gap
	}
	return out
}

// typesetter fills pages from the top.
type typesetter struct {
	size   PageSize
	title  string
	say    *words.Speaker
	pages  Pages
	d      *Drawing
	y      float64            // where the next thing goes
	widths map[string]float64 // of words at 1 mm, regular
}

func newTypesetter(size PageSize, title string, say *words.Speaker) *typesetter {
	return &typesetter{size: size, title: title, say: say, widths: map[string]float64{}}
}

func (t *typesetter) inner() float64  { return t.size.Width - 2*pageBorder }
func (t *typesetter) bottom() float64 { return t.size.Height - pageBorder }

// turn begins a new page.
func (t *typesetter) turn() {
	t.d = NewDrawing(t.size.Width, t.size.Height, t.title)
	t.pages = append(t.pages, t.d)
	t.y = pageBorder
}

// room begins a new page unless so many mm are left on this one.
func (t *typesetter) room(mm float64) {
	if t.d == nil || t.y+mm > t.bottom() {
		t.turn()
	}
}

// heading writes a heading of at most three lines that stays together with the next so many mm.
func (t *typesetter) heading(text string, size, with float64) {
	const most = 3
	lines := t.broken(text, size*boldWider, t.inner(), 0)
	if len(lines) > most {
		lines = append(lines[:most-1], fitting(lines[most-1]+"…", size, true, t.inner()))
	}
	t.room(size*(0.6+1.2*float64(len(lines))) + with)
	for _, line := range lines {
		t.y += size * 1.2
		t.d.Write(Label{X: pageBorder, Y: t.y - 0.2*size, Text: line, Size: size, Bold: true, Ink: ink})
	}
	t.y += size * 0.6
}

// boldWider is how much wider bold letters of the Go font are than regular ones, at most.
const boldWider = 1.1

// fitting cuts a text so that it is no wider than so many mm; what is left out shows as "…".
func fitting(text string, size float64, bold bool, width float64) string {
	if TextWidth(text, size, bold) <= width {
		return text
	}
	letters := []rune(strings.TrimSuffix(text, "…"))
	low, high := 0, len(letters) // the first low letters fit, the first high+1 do not
	for low < high {
		n := (low + high + 1) / 2
		if TextWidth(string(letters[:n])+"…", size, bold) <= width {
			low = n
		} else {
			high = n - 1
		}
	}
	return string(letters[:low]) + "…"
}

// style is how a paragraph is set.
type style struct {
	size   float64
	indent float64 // mm
	ink    colour
	bold   bool
	bar    colour // a bar down the left side, for cautions
	lead   string // bold words at the head, such as "Ring 7"
}

// paragraph sets a text, broken into lines; a short one is never split between pages.
func (t *typesetter) paragraph(text string, st style) {
	if st.ink.A == 0 {
		st.ink = ink
	}
	x := pageBorder + st.indent
	first := 0.0
	if st.lead != "" {
		first = TextWidth(st.lead, st.size, true) + 1.5
	}
	lines := t.broken(text, st.size, t.size.Width-pageBorder-x, first)
	step := st.size * 1.4
	t.room(step * float64(min(len(lines), 4)))
	for i, line := range lines {
		t.room(step)
		if st.bar.A > 0 {
			t.d.Add((&Path{}).Rect(x-3, t.y+0.2, 0.9, step), Paint{Fill: st.bar})
		}
		at := x
		if i == 0 && st.lead != "" {
			t.d.Write(Label{X: x, Y: t.y + st.size, Text: st.lead, Size: st.size, Bold: true, Ink: st.ink})
			at += first
		}
		t.d.Write(Label{X: at, Y: t.y + st.size, Text: line, Size: st.size, Ink: st.ink, Bold: st.bold})
		t.y += step
	}
	t.y += st.size * 0.35
}

// broken breaks a text into lines no wider than so many mm, the first one shorter by first.
func (t *typesetter) broken(text string, size, width, first float64) []string {
	var lines []string
	var line strings.Builder
	used, space := first, t.wordWidth(" ")*size
	for _, word := range strings.Fields(text) {
		for _, piece := range t.pieces(word, size, width) {
			w := t.wordWidth(piece) * size
			if line.Len() > 0 && used+space+w > width || line.Len() == 0 && used > 0 && used+w > width {
				lines = append(lines, line.String())
				line.Reset()
				used = 0
			}
			if line.Len() > 0 {
				line.WriteByte(' ')
				used += space
			}
			line.WriteString(piece)
			used += w
		}
	}
	return append(lines, line.String())
}

// pieces cuts a word that is wider than a line.
func (t *typesetter) pieces(word string, size, width float64) []string {
	if t.wordWidth(word)*size <= width {
		return []string{word}
	}
	letters := []rune(word)
	n := max(1, int(width/(size*0.9)))
	var out []string
	for len(letters) > n {
		out, letters = append(out, string(letters[:n])), letters[n:]
	}
	return append(out, string(letters))
}

func (t *typesetter) wordWidth(word string) float64 {
	w, ok := t.widths[word]
	if !ok {
		w = TextWidth(word, 10, false) / 10
		t.widths[word] = w
	}
	return w
}

// finish numbers the pages.
func (t *typesetter) finish() Pages {
	for i, p := range t.pages {
		y := t.size.Height - pageBorder/2
		p.Write(Label{X: pageBorder, Y: y, Text: fitting(t.title, 2.8, false, t.inner()-25), Size: 2.8, Ink: muted})
		p.Write(Label{X: t.size.Width - pageBorder, Y: y, Text: t.say.T("draw.page", "Page", i+1, "Pages", len(t.pages)), Size: 2.8, Anchor: End, Ink: muted})
	}
	return t.pages
}
