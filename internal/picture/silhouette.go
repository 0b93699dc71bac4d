package picture

import (
	"image"
	"image/color"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/shape"
	"tuckring/internal/sight"
	"tuckring/internal/wall"
	"tuckring/internal/words"
)

// Body says what figure is made in the shape of a picture's motif.
type Body struct {
	Title  string
	Unit   figure.Unit
	Gauge  shape.Gauge
	Units  int // in the ring at the motif's widest place
	Choice Choice
}

// Shaped is a figure that was made in the shape of a motif.
type Shaped struct {
	Figure *figure.Figure
	Result *Result
	Lay    Lay       // how the motif lies on it
	Wanted []float64 // how many units each ring would have if it followed the motif exactly
	// Aside is how far the middle of the motif wanders to the sides at the most, in shares of its greatest width: a figure of rings is as
	// wide to the left as to the right, and cannot follow.
	Aside float64
}

// silhouettePixels is how many pixels the motif is looked for in: rings are far coarser.
const silhouettePixels = 160_000

// FromSilhouette makes a figure that has the motif's outline from in front, round about its middle line, each ring as nearly as the
// craft can build it (outline.Fit), and paints it with the motif, seen straight on from the front; around the back every ring goes on
// in what the motif shows near its sides there. The motif is what is not clear; or in a picture without clear parts what is not of the colour of its rim. It fails when there is no motif, or it would
// take too many rings or units, and as Choose does.
func FromSilhouette(p *Picture, b Body) (*Shaped, error) {
	if b.Units < outline.LeastUnits || b.Units > figure.MaxUnits {
		return nil, words.T("picture.units", "Found", b.Units, "Least", outline.LeastUnits, "Most", figure.MaxUnits)
	}
	if _, err := checked(b.Choice.Papers); err != nil {
		return nil, err
	}
	img := p.Reduced(silhouettePixels).Upright()
	m, ok := motifOf(img)
	if !ok {
		return nil, words.T("picture.no_motif")
	}
	rise := b.Gauge.Rise.Best / b.Gauge.Pitch.Best
	scale := float64(b.Units) / math.Pi / m.widest() // pitches a pixel
	rings := int(math.Round(float64(len(m.left))*scale/rise - (wall.TipRise - 1)))
	if rings < 1 || rings > figure.MaxRings {
		return nil, words.T("picture.motif.rings", "Found", max(rings, 0), "Most", figure.MaxRings)
	}
	out := &Shaped{Wanted: m.counts(rings, scale), Aside: m.aside()}
	_, f, err := outline.Fit(b.Title, b.Unit, b.Choice.Papers, out.Wanted, b.Gauge)
	if f == nil {
		return nil, err
	}
	out.Figure = f
	return out, out.paint(m.wrapped(p.Reduced(PreviewPixels).Upright(), img.Rect), b)
}

// paint lays the wrapped motif around the figure.
func (s *Shaped) paint(img *image.NRGBA, b Body) error {
	g, err := NewGround(s.Figure, b.Gauge, 0, 0, 0)
	if err != nil {
		return err
	}
	low, high := g.reach()
	s.Lay = Lay{Way: Around, Y: (low + high) / 2, Width: 1, Height: high - low}
	if s.Result, err = Choose(g, Of(img), s.Lay, b.Choice, FullWork); err != nil {
		return err
	}
	if _, _, err = figure.Apply(s.Figure, s.Result.Edit()); err == nil && b.Choice.Best > 0 {
		keepUsed(s.Figure)
	}
	return err
}

// motif is the outline of what a picture shows, row by row from the top: from where to where it reaches, in pixels.
type motif struct {
	top         int // row of the picture in which it begins
	left, right []float64
	axis        float64 // its middle line
}

// motifOf finds the motif: of what is not ground the largest that hangs together.
func motifOf(img *image.NRGBA) (m motif, ok bool) {
	ground, cut := clearGround(img)
	if !cut {
		ground = rimGround(img)
	}
	own := largest(ground, img.Rect.Dx())
	w := img.Rect.Dx()
	for y := range img.Rect.Dy() {
		left, right := w, 0
		for x := range w {
			if own[y*w+x] {
				left, right = min(left, x), max(right, x+1)
			}
		}
		switch {
		case right > left:
			m.left, m.right = append(m.left, float64(left)), append(m.right, float64(right))
		case len(m.left) == 0:
			m.top = y + 1
		}
	}
	const least = 4 // pixels; smaller ones are specks
	if len(m.left) < least || m.widest() < least {
		return m, false
	}
	middles := make([]float64, 0, len(m.left))
	for y := range m.left {
		middles = append(middles, (m.left[y]+m.right[y])/2)
	}
	slices.Sort(middles)
	m.axis = middles[len(middles)/2]
	return m, true
}

// leastCut is how much of a picture is clear, at least, where its motif is cut out: less is what corners are rounded by.
const leastCut = 0.02

// clearGround is what is more clear than not, and whether that is enough for a motif that was cut out.
func clearGround(img *image.NRGBA) (ground []bool, cut bool) {
	ground = make([]bool, img.Rect.Dx()*img.Rect.Dy())
	n := 0
	for i := range ground {
		if ground[i] = img.Pix[4*i+3] < 128; ground[i] {
			n++
		}
	}
	return ground, float64(n) >= leastCut*float64(len(ground))
}

// rimGround is what has the middle colour of the picture's rim and hangs together with the rim.
func rimGround(img *image.NRGBA) []bool {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	var rim []int
	for x := range w {
		rim = append(rim, x, (h-1)*w+x)
	}
	for y := range h {
		rim = append(rim, y*w, y*w+w-1)
	}
	var middle [3]uint8
	for c := range middle {
		all := make([]uint8, len(rim))
		for i, at := range rim {
			all[i] = img.Pix[4*at+c]
		}
		slices.Sort(all)
		middle[c] = all[len(all)/2]
	}
	labOf := func(p []uint8) sight.Lab { return labOf([3]float64{linearOf8[p[0]], linearOf8[p[1]], linearOf8[p[2]]}) }
	ground := labOf(middle[:])
	off := func(at int) float64 { return sight.Difference(labOf(img.Pix[4*at:]), ground) }
	all := make([]float64, len(rim))
	for i, at := range rim {
		all[i] = off(at)
	}
	within := groundWithin(all)
	return reached(rim, w, h, func(at int) bool { return off(at) <= within })
}

// linearOf8 is the light of each value of a channel in 8 bits, 0 … 1.
var linearOf8 = func() (table [256]float64) {
	for i := range table {
		table[i] = linear(float64(i) / 255)
	}
	return table
}()

// reached are the pixels of a kind that are among some, or touch such ones.
func reached(from []int, w, h int, is func(at int) bool) []bool {
	out := make([]bool, w*h)
	f := flood{w: w, h: h, is: is, seen: make([]bool, w*h)}
	for _, at := range from {
		for _, one := range f.from(at) {
			out[one] = true
		}
	}
	return out
}

// largest is, of all pixels that are not ground, the largest number that hang together; of two as large the upper one.
func largest(ground []bool, w int) []bool {
	f := flood{w: w, h: len(ground) / w, is: func(at int) bool { return !ground[at] }, seen: make([]bool, len(ground))}
	var best []int
	for at := range ground {
		if one := f.from(at); len(one) > len(best) {
			best = slices.Clone(one)
		}
	}
	out := make([]bool, len(ground))
	for _, at := range best {
		out[at] = true
	}
	return out
}

// flood finds pixels of a kind that hang together, each of them once.
type flood struct {
	w, h int
	is   func(at int) bool
	seen []bool
	one  []int
}

// from gives what hangs together with a pixel, the pixel with it; nothing when it is of another kind or was found before. It is good until the
// next call.
func (f *flood) from(start int) []int {
	f.one = f.one[:0]
	f.look(start)
	for i := 0; i < len(f.one); i++ {
		at := f.one[i]
		if at%f.w > 0 {
			f.look(at - 1)
		}
		if at%f.w < f.w-1 {
			f.look(at + 1)
		}
		if at >= f.w {
			f.look(at - f.w)
		}
		if at < f.w*(f.h-1) {
			f.look(at + f.w)
		}
	}
	return f.one
}

func (f *flood) look(at int) {
	if !f.seen[at] {
		f.seen[at] = true
		if f.is(at) {
			f.one = append(f.one, at)
		}
	}
}

func (m *motif) widest() (out float64) {
	for y := range m.left {
		out = math.Max(out, m.right[y]-m.left[y])
	}
	return out
}

func (m *motif) aside() (out float64) {
	for y := range m.left {
		out = math.Max(out, math.Abs((m.left[y]+m.right[y])/2-m.axis))
	}
	return out / m.widest()
}

// counts is how many units would go around the motif at each ring, from the lowest: around a circle of its width, the average
// over the height at which most of a unit's face is.
func (m *motif) counts(rings int, scale float64) []float64 {
	high := float64(rings-1) + wall.TipRise
	rows := float64(len(m.left))
	out := make([]float64, rings)
	for i := range out {
		top, bottom := rows*(1-(float64(i)+wall.TipRise)/high), rows*(1-(float64(i)+wall.Shoulder)/high)
		sum, n := 0.0, 0.0
		for y := int(math.Floor(top)); float64(y) < bottom; y++ {
			row := min(max(y, 0), len(m.left)-1)
			share := math.Min(bottom, float64(y+1)) - math.Max(top, float64(y))
			sum += share * (m.right[row] - m.left[row])
			n += share
		}
		out[i] = math.Pi * scale * sum / n
	}
	return out
}

// wrapped lays the motif's rows out of a picture (which had the rectangle small when the motif was found) around a body that is as wide as
// each of them: the middle of the front in the middle, the back at both edges. What stands just within the outline is drawn out to it, as
// printers do beyond where they cut, so that nothing of what is behind the motif shows. Behind, each side of a row goes on in the middle
// colour of what is near that side in front, so that no face looks backwards and a line drawn around the motif does not cover the back.
func (m *motif) wrapped(img *image.NRGBA, small image.Rectangle) *image.NRGBA {
	by := float64(img.Rect.Dx()) / float64(small.Dx())
	down := float64(img.Rect.Dy()) / float64(small.Dy())
	rows := max(1, int(float64(len(m.left))*down))
	out := image.NewNRGBA(image.Rect(0, 0, wrappedWidth, rows))
	for y := range rows {
		row := min(int((float64(y)+0.5)/down), len(m.left)-1)
		from := min(int(down*float64(m.top))+y, img.Rect.Dy()-1)
		half := (m.right[row] - m.left[row]) / 2
		inset := math.Min(math.Max(1, 2*withinOutline*half), half-0.5)
		middle, reach := by*(m.left[row]+half), by*(half-inset)
		at := func(share float64) color.NRGBA { // of the way from the middle to a side
			c := img.NRGBAAt(min(max(int(middle+share*reach), 0), img.Rect.Dx()-1), from)
			c.A = 255
			return c
		}
		back := [2]color.NRGBA{middleColour(at, -1), middleColour(at, 1)}
		for x := range wrappedWidth {
			turn := 2 * math.Pi * ((float64(x)+0.5)/wrappedWidth - 0.5)
			switch {
			case math.Abs(turn) <= math.Pi/2:
				out.SetNRGBA(x, y, at(math.Min(1, math.Max(-1, math.Sin(turn)*half/math.Max(half-inset, 0.5)))))
			case turn < 0:
				out.SetNRGBA(x, y, back[0])
			default:
				out.SetNRGBA(x, y, back[1])
			}
		}
	}
	return out
}

// How a motif is wrapped: how many pixels go around, and how far from its sides, in shares of half its width, it says what is behind.
const (
	wrappedWidth = 1440
	nearSides    = 0.2
)

// middleColour is, channel by channel, the middle of a row's colours near one of its sides: few pixels of a line along it do not count.
func middleColour(at func(share float64) color.NRGBA, side float64) color.NRGBA {
	const samples = 31
	var all [3][]uint8
	for k := range samples {
		c := at(side * (1 - nearSides*(float64(k)+0.5)/samples))
		for i, v := range []uint8{c.R, c.G, c.B} {
			all[i] = append(all[i], v)
		}
	}
	for i := range all {
		slices.Sort(all[i])
	}
	return color.NRGBA{all[0][samples/2], all[1][samples/2], all[2][samples/2], 255}
}

// withinOutline is how far within its outline a motif has its own colour for sure, in shares of its width there.
const withinOutline = 0.03
