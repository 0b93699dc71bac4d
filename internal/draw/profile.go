package draw

import (
	"slices"
	"strconv"

	"tuckring/internal/shape"
	"tuckring/internal/words"
)

const smallText = 2.9 // mm

// Profile draws the outline of a figure's wall from its rings, as wide and as high as is likely, at scale,
// with the range in dashes. It fits into width × height mm.
func Profile(size shape.Size, width, height float64, say *words.Speaker) *Drawing {
	d := NewDrawing(width, height, say.T("draw.profile.title"))
	if len(size.Rings) == 0 || !(size.Height.High > 0) || !(size.Diameter.High > 0) {
		return d
	}
	size.Rings = slices.DeleteFunc(slices.Clone(size.Rings), func(r shape.RingSize) bool { return r.Part != size.Rings[0].Part }) // others stand elsewhere
	const below, beside = 7.0, 24.0
	scale := min((width-2*beside)/size.Diameter.High, (height-below-2)/size.Height.High)
	p := profile{d: d, size: size, scale: scale, middle: width / 2, ground: height - below}
	p.outline(func(r shape.Range) float64 { return r.High }, Paint{Stroke: muted, Line: 0.2, Dashes: []float64{1, 1}})
	p.reach()
	p.rings()
	p.outline(func(r shape.Range) float64 { return r.Low }, Paint{Stroke: card, Line: 0.3, Dashes: []float64{1, 1}})
	p.outline(func(r shape.Range) float64 { return r.Low }, Paint{Stroke: accent, Line: 0.2, Dashes: []float64{1, 1}})
	d.Add((&Path{}).Move(beside/2, p.ground).Line(width-beside/2, p.ground), Paint{Stroke: ink, Line: 0.4})
	p.labels(say)
	return d
}

type profile struct {
	d              *Drawing
	size           shape.Size
	scale          float64
	middle, ground float64
}

// wall is how wide and high the rings alone are, mm.
func (p *profile) wall() (wide, high float64) {
	for _, r := range p.size.Rings {
		wide, high = max(wide, r.Diameter.Best), max(high, r.Top.Best)
	}
	return wide, high
}

// beyond tells whether extras reach further than the rings, to a side or up, by what a ruler shows.
func (p *profile) beyond() (wider, higher bool) {
	wide, high := p.wall()
	return p.size.Diameter.Best >= wide+1, p.size.Height.Best >= high+1
}

// reach draws lightly how far extras reach beyond the rings.
func (p *profile) reach() {
	wider, higher := p.beyond()
	if !wider && !higher {
		return
	}
	wide, high := p.size.Diameter.Best*p.scale, p.size.Height.Best*p.scale
	p.d.Add((&Path{}).Rect(p.middle-wide/2, p.ground-high, wide, high), Paint{Stroke: muted, Line: 0.2, Dashes: []float64{0.4, 0.8}})
}

// measure says a length, and where extras are measured too, that they are.
func (p *profile) measure(say *words.Speaker, mm float64, extras bool) string {
	if extras && len(p.size.Rings) > 0 && p.size.Rings[0].Part != "" {
		return say.T("draw.profile.with_parts", "MM", wholeText(mm))
	}
	if extras {
		return say.T("draw.profile.with_extras", "MM", wholeText(mm))
	}
	return say.T("draw.mm", "MM", wholeText(mm))
}

// rings fills every ring's band.
func (p *profile) rings() {
	below := 0.0
	for _, r := range p.size.Rings {
		w, top := r.Diameter.Best*p.scale, r.Top.Best*p.scale
		p.d.Add((&Path{}).Rect(p.middle-w/2, p.ground-top, w, top-below), Paint{Fill: accentTint, Stroke: accent, Line: min(0.2, (top-below)/4)})
		below = top
	}
}

// outline goes around the figure as large as pick says.
func (p *profile) outline(pick func(shape.Range) float64, paint Paint) {
	n := len(p.size.Rings)
	left, right := make([]Point, 0, 2*n), make([]Point, 0, 2*n)
	below := 0.0
	for _, r := range p.size.Rings {
		half, top := pick(r.Diameter)*p.scale/2, pick(r.Top)*p.scale
		left = append(left, Point{p.middle - half, p.ground - below}, Point{p.middle - half, p.ground - top})
		right = append(right, Point{p.middle + half, p.ground - below}, Point{p.middle + half, p.ground - top})
		below = top
	}
	for i := len(right) - 1; i >= 0; i-- {
		left = append(left, right[i])
	}
	p.d.Add((&Path{}).Polygon(left...), paint)
}

// labels tell how many units a ring has wherever that changes, as far as there is room, and the likely size.
func (p *profile) labels(say *words.Speaker) {
	last, lastY, units := len(p.size.Rings)-1, p.ground+100, 0
	for i, r := range p.size.Rings {
		same := r.Units == units
		if units = r.Units; same && i < last {
			continue
		}
		y := min(p.ground-r.Top.Best*p.scale+2, p.ground-0.6)
		if lastY-y < chartText {
			continue
		}
		lastY = y
		x := p.middle + p.size.Diameter.High*p.scale/2 + 2
		p.d.Write(Label{X: x, Y: y, Text: say.T("draw.profile.ring", "Ring", r.Ring, "Units", r.Units), Size: smallText, Ink: ink})
	}
	wider, higher := p.beyond()
	wide := p.size.Diameter.Best * p.scale
	y := p.ground + 3
	p.d.Add((&Path{}).Move(p.middle-wide/2, y-1).Line(p.middle-wide/2, y+1).Move(p.middle+wide/2, y-1).Line(p.middle+wide/2, y+1).
		Move(p.middle-wide/2, y).Line(p.middle+wide/2, y), Paint{Stroke: ink, Line: 0.2})
	p.d.Write(Label{X: p.middle, Y: y + 3.6, Text: p.measure(say, p.size.Diameter.Best, wider), Size: smallText, Anchor: Middle, Ink: ink})
	x := p.middle - p.size.Diameter.High*p.scale/2 - 2.5
	top := p.ground - p.size.Height.Best*p.scale
	p.d.Add((&Path{}).Move(x-1, top).Line(x+1, top).Move(x-1, p.ground).Line(x+1, p.ground).Move(x, top).Line(x, p.ground), Paint{Stroke: ink, Line: 0.2})
	p.d.Write(Label{X: x - 1.2, Y: (top + p.ground) / 2, Text: p.measure(say, p.size.Height.Best, higher), Size: smallText, Anchor: Middle, Ink: ink, Turned: true})
}

func wholeText(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }
