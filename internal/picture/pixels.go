package picture

import (
	"image"
	"image/color"
	"sync"

	"github.com/lucasb-eyer/go-colorful"
)

// full is full light in whole numbers, so that a row of MaxSide pixels can be summed in 32 bits.
const full = (1<<32 - 1) / MaxSide

// channels of light: linear red, green and blue (IEC 61966-2-1), and how much of the pixel is not clear.
const channels = 4

// lightOf is the light of each value of a channel in 8 bits.
var lightOf = func() (table [256]uint32) {
	for i := range table {
		table[i] = uint32(linear(float64(i)/255)*full + 0.5)
	}
	return table
}()

// lightOf16 is the same in 16 bits.
var lightOf16 = sync.OnceValue(func() []uint32 {
	table := make([]uint32, 1<<16)
	for i := range table {
		table[i] = uint32(linear(float64(i)/0xffff)*full + 0.5)
	}
	return table
})

// redBeyond, greenBeyond and blueBeyond are the light of values that the conversion from a JPEG's colours gives, below 0 and above 255
// too, as sum holds it: as a ring, so that −1 is the last. No such value is below −256 or above 511. Nothing of such a pixel is clear.
var redBeyond, greenBeyond, blueBeyond = func() (red, green, blue [beyond + 1]uint64) {
	for i := range red {
		v := i
		if v >= 768 {
			v -= beyond + 1
		}
		light := uint64(lightOf[min(max(v, 0), 255)])
		red[i], green[i], blue[i] = light, light<<32, light|full<<32
	}
	return red, green, blue
}()

const beyond = 1023

// linear is the light of a channel of sRGB, 0 … 1.
func linear(v float64) float64 {
	r, _, _ := colorful.Color{R: v, G: v, B: v}.LinearRgb()
	return r
}

// sum is light in whole numbers of 32 bits, two to a word, so that four are added in two steps: red under green, and blue under how much is
// not clear. None overflows into the other (see full).
type sum struct{ rg, ba uint64 }

func sumOf(r, g, b, a uint32) sum { return sum{uint64(r) | uint64(g)<<32, uint64(b) | uint64(a)<<32} }

func (s sum) plus(t sum) sum { return sum{s.rg + t.rg, s.ba + t.ba} }

// channels are the four numbers.
func (s sum) channels() [channels]float64 {
	return [channels]float64{float64(uint32(s.rg)), float64(s.rg >> 32), float64(uint32(s.ba)), float64(s.ba >> 32)}
}

// rowSums are sums of light along a row of stored pixels: at x stands that of the first x pixels. Sums of clear pixels count for as
// much as is not clear of them.
type rowSums []sum

func newRowSums(width int) rowSums { return make(rowSums, width+1) }

// read sums a row of stored pixels.
func (s rowSums) read(img image.Image, y int) {
	switch m := img.(type) {
	case *image.YCbCr:
		s.ycbcr(m, y)
	case *image.NRGBA:
		s.nrgba(m, y)
	case *image.RGBA:
		s.rgba(m, y)
	case *image.Gray:
		s.gray(m, y)
	case *image.Paletted:
		s.paletted(m, y)
	default:
		s.other(img, y)
	}
}

// ycbcr sums a row of a JPEG's own pixels, by the conversion of image/color (JFIF, in 16 bits of fraction). It is what most of the time
// goes into, so colour is worked out once for the pixels that share it.
func (s rowSums) ycbcr(m *image.YCbCr, y int) {
	b := m.Rect
	luma := m.Y[m.YOffset(b.Min.X, b.Min.Y+y):][:b.Dx()]
	first := m.COffset(b.Min.X, b.Min.Y+y)
	cbs, crs := m.Cb[first:], m.Cr[first:]
	shared := 0 // pixels that share their colour, as a power of two
	switch m.SubsampleRatio {
	case image.YCbCrSubsampleRatio420, image.YCbCrSubsampleRatio422:
		shared = 1
	case image.YCbCrSubsampleRatio410, image.YCbCrSubsampleRatio411:
		shared = 2
	}
	var red, green, blue int32 // what the colour adds to the luma
	var all sum
	to, last := s[1:len(luma)+1], -1
	for x, v := range luma {
		if c := (b.Min.X+x)>>shared - b.Min.X>>shared; c != last {
			last = c
			cb, cr := int32(cbs[c])-128, int32(crs[c])-128
			red, green, blue = 91881*cr, -22554*cb-46802*cr, 116130*cb
		}
		y := int32(v) * 0x10101
		all.rg += redBeyond[(y+red)>>16&beyond] + greenBeyond[(y+green)>>16&beyond]
		all.ba += blueBeyond[(y+blue)>>16&beyond]
		to[x] = all
	}
}

// add writes the sums after one more pixel of a colour that is not premultiplied, in 8 bits.
func (s rowSums) add(x int, r, g, b, a uint8) {
	light := sumOf(lightOf[r], lightOf[g], lightOf[b], full)
	if a < 255 {
		share := func(light uint32) uint32 { return uint32(uint64(light) * uint64(a) / 255) }
		light = sumOf(share(lightOf[r]), share(lightOf[g]), share(lightOf[b]), share(full))
	}
	s[x+1] = s[x].plus(light)
}

func (s rowSums) nrgba(m *image.NRGBA, y int) {
	pix := m.Pix[m.PixOffset(m.Rect.Min.X, m.Rect.Min.Y+y):]
	for x := range m.Rect.Dx() {
		p := pix[4*x:][:4]
		s.add(x, p[0], p[1], p[2], p[3])
	}
}

func (s rowSums) rgba(m *image.RGBA, y int) {
	pix := m.Pix[m.PixOffset(m.Rect.Min.X, m.Rect.Min.Y+y):]
	for x := range m.Rect.Dx() {
		p := pix[4*x:][:4]
		if p[3] == 255 {
			s.add(x, p[0], p[1], p[2], 255)
			continue
		}
		c := color.NRGBAModel.Convert(color.RGBA{p[0], p[1], p[2], p[3]}).(color.NRGBA)
		s.add(x, c.R, c.G, c.B, c.A)
	}
}

func (s rowSums) gray(m *image.Gray, y int) {
	for x, v := range m.Pix[m.PixOffset(m.Rect.Min.X, m.Rect.Min.Y+y):][:m.Rect.Dx()] {
		s.add(x, v, v, v, 255)
	}
}

func (s rowSums) paletted(m *image.Paletted, y int) {
	inks := make([]color.NRGBA, 256)
	for i, c := range m.Palette {
		inks[i] = color.NRGBAModel.Convert(c).(color.NRGBA)
	}
	for x, v := range m.Pix[m.PixOffset(m.Rect.Min.X, m.Rect.Min.Y+y):][:m.Rect.Dx()] {
		c := inks[v]
		s.add(x, c.R, c.G, c.B, c.A)
	}
}

// other sums a row of any other kind, as of 16 bits a channel or of inks.
func (s rowSums) other(img image.Image, y int) {
	b, table := img.Bounds(), lightOf16()
	for x := range b.Dx() {
		c := color.NRGBA64Model.Convert(img.At(b.Min.X+x, b.Min.Y+y)).(color.NRGBA64)
		share := func(light uint32) uint32 { return uint32(uint64(light) * uint64(c.A) / 0xffff) }
		s[x+1] = s[x].plus(sumOf(share(table[c.R]), share(table[c.G]), share(table[c.B]), share(full)))
	}
}
