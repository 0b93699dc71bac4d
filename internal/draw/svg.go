package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"math"
	"strconv"
	"unicode/utf8"
)

// perMM is how finely SVG coordinates are written: in whole hundredths of a mm, which keeps the
// file small and the joints between neighbouring tiles exact.
const perMM = 100

// fontStack names the page's own font first; a file opened alone falls back to a plain one.
const fontStack = "'Atkinson Hyperlegible','Go',sans-serif"

// SVG writes the drawing as SVG 1.1. The same drawing always gives the same bytes.
func (d *Drawing) SVG() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %d %d" role="img">`,
		decimals(d.Width), decimals(d.Height), whole(d.Width), whole(d.Height))
	if d.Title != "" {
		b.WriteString("<title>")
		escape(&b, d.Title)
		b.WriteString("</title>")
	}
	fmt.Fprintf(&b, `<g font-family="%s" stroke-linejoin="round" stroke-linecap="round">`, fontStack)
	for i := 0; i < len(d.items); i++ {
		if d.items[i].text != nil {
			i += writeTexts(&b, d.items[i:]) - 1
			continue
		}
		writePath(&b, d.items[i])
	}
	b.WriteString("</g></svg>\n")
	return b.Bytes()
}

func whole(mm float64) int64 { return int64(math.Round(mm * perMM)) }

func decimals(v float64) string { return strconv.FormatFloat(math.Round(v*perMM)/perMM, 'f', -1, 64) }

func escape(b *bytes.Buffer, s string) { _ = xml.EscapeText(b, []byte(s)) } // a Buffer takes all

func writePath(b *bytes.Buffer, it item) {
	b.WriteString(`<path fill="`)
	writeColour(b, it.paint.Fill)
	b.WriteByte('"')
	writeOpacity(b, "fill", it.paint.Fill)
	if it.paint.Stroke.A > 0 && it.paint.Line > 0 {
		b.WriteString(` stroke="`)
		writeColour(b, it.paint.Stroke)
		fmt.Fprintf(b, `" stroke-width="%d"`, whole(it.paint.Line))
		writeOpacity(b, "stroke", it.paint.Stroke)
	}
	for i, v := range it.paint.Dashes {
		if i == 0 {
			fmt.Fprintf(b, ` stroke-dasharray="%d`, whole(v))
			continue
		}
		fmt.Fprintf(b, " %d", whole(v))
	}
	if len(it.paint.Dashes) > 0 {
		b.WriteByte('"')
	}
	b.WriteString(` d="`)
	pen := svgPen{out: b}
	pen.write(it.path)
	b.WriteString(`"/>`)
}

func writeColour(b *bytes.Buffer, c color.NRGBA) {
	if c.A == 0 {
		b.WriteString("none")
		return
	}
	b.WriteString(Hex(c))
}

func writeOpacity(b *bytes.Buffer, what string, c color.NRGBA) {
	if c.A > 0 && c.A < 255 {
		fmt.Fprintf(b, ` %s-opacity="%s"`, what, strconv.FormatFloat(float64(c.A)/255, 'f', 3, 64))
	}
}

// svgPen writes path data with relative steps: tiles of one row come out as the same letters over
// and over, which packs well.
type svgPen struct {
	out    *bytes.Buffer
	x, y   int64 // where the pen is
	sx, sy int64 // where the outline began
	num    []byte
}

func (pen *svgPen) write(p *Path) {
	at := 0
	for _, op := range p.ops {
		switch op {
		case 'Z':
			pen.out.WriteByte('z')
			pen.x, pen.y = pen.sx, pen.sy
		case 'M':
			pen.out.WriteByte('m')
			pen.step(p.xy[at], p.xy[at+1])
			pen.sx, pen.sy = pen.x, pen.y
			at += 2
		case 'L':
			pen.line(p.xy[at], p.xy[at+1])
			at += 2
		case 'C':
			pen.out.WriteByte('c')
			x0, y0 := pen.x, pen.y
			for k := 0; k < 6; k += 2 {
				pen.x, pen.y = x0, y0
				pen.sep(k)
				pen.step(p.xy[at+k], p.xy[at+k+1])
			}
			at += 6
		}
	}
}

func (pen *svgPen) sep(k int) {
	if k > 0 {
		pen.out.WriteByte(' ')
	}
}

func (pen *svgPen) line(x, y float64) {
	dx, dy := whole(x)-pen.x, whole(y)-pen.y
	switch {
	case dx == 0 && dy == 0:
		return
	case dx == 0:
		pen.out.WriteByte('v')
		pen.number(dy)
	case dy == 0:
		pen.out.WriteByte('h')
		pen.number(dx)
	default:
		pen.out.WriteByte('l')
		pen.number(dx)
		if dy > 0 {
			pen.out.WriteByte(' ')
		}
		pen.number(dy)
	}
	pen.x, pen.y = pen.x+dx, pen.y+dy
}

func (pen *svgPen) step(x, y float64) {
	dx, dy := whole(x)-pen.x, whole(y)-pen.y
	pen.number(dx)
	if dy >= 0 {
		pen.out.WriteByte(' ')
	}
	pen.number(dy)
	pen.x, pen.y = pen.x+dx, pen.y+dy
}

func (pen *svgPen) number(v int64) {
	pen.num = strconv.AppendInt(pen.num[:0], v, 10)
	pen.out.Write(pen.num)
}

// writeTexts writes the label at the head of the items and gives how many items it took: letters
// of one line that are alike but for their place (the signs of a ring) become one element.
func writeTexts(b *bytes.Buffer, items []item) int {
	l := items[0].text
	n := 1
	if utf8.RuneCountInString(l.Text) == 1 && !l.Turned {
		for n < len(items) && sameLine(l, items[n].text) {
			n++
		}
	}
	b.WriteString(`<text`)
	if l.Turned {
		fmt.Fprintf(b, ` transform="translate(%d %d) rotate(-90)"`, whole(l.X), whole(l.Y))
	} else {
		b.WriteString(` x="`)
		for i := 0; i < n; i++ {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(strconv.FormatInt(whole(items[i].text.X), 10))
		}
		fmt.Fprintf(b, `" y="%d"`, whole(l.Y))
	}
	fmt.Fprintf(b, ` font-size="%d" fill="%s"`, whole(l.Size), Hex(l.Ink))
	if l.Bold {
		b.WriteString(` font-weight="700"`)
	}
	if l.Anchor != Start {
		b.WriteString(map[Anchor]string{Middle: ` text-anchor="middle"`, End: ` text-anchor="end"`}[l.Anchor])
	}
	b.WriteByte('>')
	for i := 0; i < n; i++ {
		escape(b, items[i].text.Text)
	}
	b.WriteString("</text>")
	return n
}

func sameLine(a, c *Label) bool {
	return c != nil && !c.Turned && utf8.RuneCountInString(c.Text) == 1 && c.Y == a.Y && c.Size == a.Size &&
		c.Bold == a.Bold && c.Anchor == a.Anchor && c.Ink == a.Ink
}
