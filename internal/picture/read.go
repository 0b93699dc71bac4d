package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	_ "image/gif"  // the formats that Read knows
	_ "image/jpeg" // …
	_ "image/png"  // …
	"io"
	"math"

	"golang.org/x/image/draw"
	_ "golang.org/x/image/webp" // …

	"tuckring/internal/words"
)

// Limits of a picture.
const (
	MaxBytes  = 32 << 20
	MaxPixels = 40_000_000
	MaxSide   = 20_000 // pixels
	// MaxMemory is the most that decoding may take, in bytes. Pictures of MaxPixels in 8 bits a channel stay below; those in 16
	// bits, and JPEGs that come in several passes, may have fewer pixels.
	MaxMemory = 256 << 20
)

// Picture is a picture that was read, as it hangs: turned and mirrored as its Exif orientation says.
type Picture struct {
	Width, Height int // pixels, upright
	stored        image.Image
	orientation   int // 1 … 8 (Exif 2.32)
	clear         bool
}

// Read decodes a picture: PNG, JPEG, WebP or GIF (of one that moves the first picture). Anything else, and a picture beyond
// the limits, is refused before its pixels are read; the error says what was found and what is allowed.
func Read(r io.Reader) (*Picture, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, words.T("picture.read", "Reason", err.Error())
	}
	if len(data) == 0 {
		return nil, words.T("picture.empty")
	}
	if len(data) > MaxBytes {
		return nil, words.T("picture.heavy", "Limit", MaxBytes>>20)
	}
	if moves(data) {
		return nil, words.T("picture.moves")
	}
	head, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, unknown(err)
	}
	w, h := head.Width, head.Height
	if w < 1 || h < 1 || w > MaxSide || h > MaxSide || w*h > MaxPixels {
		return nil, words.T("picture.large", "Width", w, "Height", h, "Side", MaxSide, "Million", MaxPixels/1_000_000)
	}
	if each := bytesPerPixel(kind, data); w*h*each > MaxMemory {
		return nil, words.T("picture.memory", "Width", w, "Height", h, "Million", MaxMemory/each/1_000_000)
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, unknown(err)
	}
	if kind == "webp" {
		fullRange(img)
	}
	return newPicture(onCanvas(img, w, h), orientation(kind, data)), nil
}

// fullRange stretches the colours of a lossy WebP to those of a JPEG, in place: it has them as ITU-R BT.601 does (RFC 9649, 2.5), luma from 16 to
// 235 and chroma from 16 to 240, but the decoder hands them on as if they went from 0 to 255, and all would be pale.
func fullRange(img image.Image) {
	var m *image.YCbCr
	switch img := img.(type) {
	case *image.YCbCr:
		m = img
	case *image.NYCbCrA:
		m = &img.YCbCr
	default:
		return
	}
	var luma, chroma [256]uint8
	for v := range 256 {
		luma[v] = uint8(math.Round(math.Min(255, math.Max(0, float64(v-16)*255/219))))
		chroma[v] = uint8(math.Round(math.Min(255, math.Max(0, float64(v-128)*255/224+128))))
	}
	for i, v := range m.Y {
		m.Y[i] = luma[v]
	}
	for _, plane := range [][]uint8{m.Cb, m.Cr} {
		for i, v := range plane {
			plane[i] = chroma[v]
		}
	}
}

// Of is a picture that is in memory already.
func Of(img image.Image) *Picture { return newPicture(img, 1) }

func newPicture(img image.Image, orientation int) *Picture {
	b := img.Bounds()
	p := &Picture{Width: b.Dx(), Height: b.Dy(), stored: img, orientation: orientation}
	if orientation >= 5 {
		p.Width, p.Height = p.Height, p.Width
	}
	opaque, ok := img.(interface{ Opaque() bool })
	p.clear = !ok || !opaque.Opaque()
	return p
}

// onCanvas puts a picture that covers only a part of its canvas, as a GIF's may, in its place there; the rest is clear.
func onCanvas(img image.Image, w, h int) image.Image {
	canvas := image.Rect(0, 0, w, h)
	if img.Bounds() == canvas {
		return img
	}
	out := image.NewNRGBA(canvas)
	draw.Draw(out, img.Bounds(), img, img.Bounds().Min, draw.Src)
	return out
}

func unknown(err error) error {
	if errors.Is(err, image.ErrFormat) {
		return words.T("picture.format")
	}
	return words.T("picture.broken", "Reason", err.Error())
}

// bytesPerPixel is how much memory decoding takes of each pixel at most: the picture, and what the decoder holds beside it.
func bytesPerPixel(kind string, data []byte) int {
	switch {
	case kind == "jpeg":
		components, inPasses := jpegFrame(data)
		each := components
		if inPasses {
			each += 4 * components // coefficients of 32 bits, until the last pass is in
		}
		if components == 4 {
			each += 4 // inks are put together in a picture of their own
		}
		return max(each, 1)
	case kind == "png" && len(data) > 28:
		each := 4
		if data[24] == 16 {
			each = 8
		}
		if data[28] != 0 { // interlaced: each pass is a picture of its own
			each += each / 2
		}
		return each
	case kind == "webp":
		return 7 // a lossy one beside a picture of what is clear of it
	case kind == "gif":
		return 5 // beside its canvas
	}
	return 4
}

// jpegFrame tells of a JPEG how many components it has, and whether they come in several passes (ITU-T T.81, B.2.2: the
// frame SOF2). Of a file that makes no sense it tells the worst.
func jpegFrame(file []byte) (components int, inPasses bool) {
	for at := 2; at+10 <= len(file) && file[at] == 0xff; {
		kind, size := file[at+1], int(binary.BigEndian.Uint16(file[at+2:]))
		switch {
		case kind == 0xff: // padding
			at++
			continue
		case kind >= 0xc0 && kind <= 0xc2:
			return int(file[at+9]), kind == 0xc2
		case size < 2:
			return 4, true
		}
		at += 2 + size
	}
	return 4, true
}

// moves says whether a file is a WebP that moves (RFC 9649, 2.7.1.1): those cannot be read.
func moves(file []byte) bool {
	const animation = 0x02
	return len(file) > 20 && string(file[:4]) == "RIFF" && string(file[8:16]) == "WEBPVP8X" && file[20]&animation != 0
}

// Compact is the picture in at most 4 bytes a pixel, in a form that is read quickly: of 16 bits a channel 8 are kept.
func (p *Picture) Compact() *Picture {
	switch p.stored.(type) {
	case *image.YCbCr, *image.NRGBA, *image.RGBA, *image.Gray, *image.Paletted:
		return p
	}
	return Of(p.Upright())
}

// Upright copies the picture as it hangs.
func (p *Picture) Upright() *image.NRGBA {
	b := p.stored.Bounds()
	from, ok := p.stored.(*image.NRGBA)
	if !ok || b.Min != (image.Point{}) {
		from = image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
		draw.Draw(from, from.Rect, p.stored, b.Min, draw.Src)
	}
	if p.orientation <= 1 {
		return from
	}
	to := image.NewNRGBA(image.Rect(0, 0, p.Width, p.Height))
	for y := range p.Height {
		for x := range p.Width {
			sx, sy := source(p.orientation, x, y, b.Dx(), b.Dy())
			copy(to.Pix[to.PixOffset(x, y):][:4], from.Pix[from.PixOffset(sx, sy):][:4])
		}
	}
	return to
}
