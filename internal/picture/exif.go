package picture

import (
	"bytes"
	"encoding/binary"
	"image"

	"golang.org/x/image/draw"
)

// orientation gives the Exif orientation of a JPEG file, 1 … 8 (Exif 2.32, tag 0x0112); 1, upright,
// when it says none. Cameras store the picture as the sensor lies and say here how to turn it.
func orientation(jpeg []byte) int {
	for at := 2; at+4 <= len(jpeg) && jpeg[at] == 0xff; {
		kind, size := jpeg[at+1], int(binary.BigEndian.Uint16(jpeg[at+2:]))
		if kind == 0xda || size < 2 || at+2+size > len(jpeg) {
			break
		}
		if segment := jpeg[at+4 : at+2+size]; kind == 0xe1 && bytes.HasPrefix(segment, []byte("Exif\x00\x00")) {
			return tiffOrientation(segment[6:])
		}
		at += 2 + size
	}
	return 1
}

func tiffOrientation(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if tiff[0] == 'M' {
		order = binary.BigEndian
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 1
	}
	fields := int64(order.Uint16(tiff[at:]))
	for i := int64(0); i < fields; i++ {
		field := at + 2 + 12*i
		if field+12 > int64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[field:]) == 0x0112 {
			if v := int(order.Uint16(tiff[field+8:])); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}

// upright turns and mirrors a picture as its orientation asks.
func upright(img image.Image, orientation int) image.Image {
	if orientation <= 1 {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	from := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(from, from.Rect, img, b.Min, draw.Src)
	tw, th := w, h
	if orientation >= 5 {
		tw, th = h, w
	}
	to := image.NewRGBA(image.Rect(0, 0, tw, th))
	for y := range th {
		for x := range tw {
			sx, sy := source(orientation, x, y, w, h)
			copy(to.Pix[to.PixOffset(x, y):][:4], from.Pix[from.PixOffset(sx, sy):][:4])
		}
	}
	return to
}

// source gives where pixel x, y of the upright picture stands in a stored one of w × h.
func source(orientation, x, y, w, h int) (sx, sy int) {
	switch orientation {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, h - 1 - x
	case 7:
		return w - 1 - y, h - 1 - x
	default: // 8
		return w - 1 - y, x
	}
}
