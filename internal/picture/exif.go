package picture

import (
	"bytes"
	"encoding/binary"
)

// orientation gives the Exif orientation of a file of the kind (as package image names it), 1 … 8 (Exif 2.32, tag
// 0x0112); 1, upright, when it says none, or nothing that makes sense. Cameras store the picture as the sensor
// lies and say here how to turn it. Nothing but the given bytes is read, each of them at most once.
func orientation(kind string, file []byte) int {
	switch kind {
	case "jpeg":
		return tiffOrientation(jpegExif(file))
	case "png":
		return tiffOrientation(pngExif(file))
	case "webp":
		return tiffOrientation(webpExif(file))
	}
	return 1
}

// exifHead stands before the TIFF structure in a JPEG's APP1 segment, and by mistake in some files of other
// kinds.
var exifHead = []byte("Exif\x00\x00")

// jpegExif is the TIFF structure of the first Exif segment (Exif 2.32, 4.7.2), nil without one.
func jpegExif(file []byte) []byte {
	for at := 2; at+4 <= len(file) && file[at] == 0xff; {
		kind, size := file[at+1], int(binary.BigEndian.Uint16(file[at+2:]))
		if kind == 0xda || size < 2 || at+2+size > len(file) {
			break
		}
		if segment := file[at+4 : at+2+size]; kind == 0xe1 && bytes.HasPrefix(segment, exifHead) {
			return segment[len(exifHead):]
		}
		at += 2 + size
	}
	return nil
}

// pngExif is the data of the first eXIf chunk (Portable Network Graphics, third edition, 11.3.4.4), nil
// without one. It may stand before the pixels or after them.
func pngExif(file []byte) []byte {
	const signature, head, crc = 8, 8, 4
	for at := signature; at+head+crc <= len(file); {
		size := int64(binary.BigEndian.Uint32(file[at:]))
		if size > int64(len(file)-at-head-crc) {
			break
		}
		if string(file[at+4:at+8]) == "eXIf" {
			return bytes.TrimPrefix(file[at+head:at+head+int(size)], exifHead)
		}
		at += head + int(size) + crc
	}
	return nil
}

// webpExif is the data of the first EXIF chunk (RFC 9649, 2.7.1.5), nil without one. Chunks are padded to
// even sizes.
func webpExif(file []byte) []byte {
	const riff, head = 12, 8
	for at := riff; at+head <= len(file); {
		size := int64(binary.LittleEndian.Uint32(file[at+4:]))
		if size > int64(len(file)-at-head) {
			break
		}
		if string(file[at:at+4]) == "EXIF" {
			return bytes.TrimPrefix(file[at+head:at+head+int(size)], exifHead)
		}
		at += head + int(size+size&1)
	}
	return nil
}

// tiffOrientation reads the orientation from the first directory of a TIFF structure.
func tiffOrientation(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 1
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 1
	}
	fields := int64(order.Uint16(tiff[at:]))
	for i := range fields {
		field := at + 2 + 12*i
		if field+12 > int64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[field:]) != 0x0112 {
			continue
		}
		const short = 3
		if v := int(order.Uint16(tiff[field+8:])); order.Uint16(tiff[field+2:]) == short && v >= 1 && v <= 8 {
			return v
		}
		return 1
	}
	return 1
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
	case 8:
		return w - 1 - y, x
	default:
		return x, y
	}
}

// toStored brings a place on the upright picture, in pixels from its upper left corner, to the same place of the stored one of
// w × h: what source does with whole pixels.
func toStored(orientation int, w, h float64) affine {
	switch orientation {
	case 2:
		return affine{-1, 0, w, 0, 1, 0}
	case 3:
		return affine{-1, 0, w, 0, -1, h}
	case 4:
		return affine{1, 0, 0, 0, -1, h}
	case 5:
		return affine{0, 1, 0, 1, 0, 0}
	case 6:
		return affine{0, 1, 0, -1, 0, h}
	case 7:
		return affine{0, -1, w, -1, 0, h}
	case 8:
		return affine{0, -1, w, 1, 0, 0}
	}
	return affine{1, 0, 0, 0, 1, 0}
}

// affine brings x, y to a·x + b·y + c, d·x + e·y + f.
type affine [6]float64

func (m affine) at(p point) point {
	return point{m[0]*p.x + m[1]*p.y + m[2], m[3]*p.x + m[4]*p.y + m[5]}
}

// then is first this one and then the other.
func (m affine) then(n affine) affine {
	return affine{
		n[0]*m[0] + n[1]*m[3], n[0]*m[1] + n[1]*m[4], n[0]*m[2] + n[1]*m[5] + n[2],
		n[3]*m[0] + n[4]*m[3], n[3]*m[1] + n[4]*m[4], n[3]*m[2] + n[4]*m[5] + n[5],
	}
}
