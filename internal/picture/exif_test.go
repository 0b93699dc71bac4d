package picture

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tiff is a TIFF structure whose directory holds the orientation after another field (Exif 2.32, 4.6.2).
func tiff(order binary.ByteOrder, orientation int) []byte {
	var b bytes.Buffer
	head := "II*\x00"
	if order == binary.ByteOrder(binary.BigEndian) {
		head = "MM\x00*"
	}
	b.WriteString(head)
	put := func(v any) { _ = binary.Write(&b, order, v) }
	put(uint32(8))
	put(uint16(2))
	for _, field := range [][2]uint16{{0x0103, 6}, {0x0112, uint16(orientation)}} {
		put(field[0])
		put(uint16(3))
		put(uint32(1))
		put(field[1])
		put(uint16(0))
	}
	put(uint32(0))
	return b.Bytes()
}

// withExif puts the TIFF structure into a file as its format asks: JPEG in APP1 behind the marker (Exif 2.32),
// PNG in an eXIf chunk (PNG, third edition), WebP in an EXIF chunk of an extended file (RFC 9649).
func withExif(t testing.TB, kind string, file, exif []byte) []byte {
	switch kind {
	case "jpeg":
		segment := append([]byte("Exif\x00\x00"), exif...)
		out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(segment)+2))...)
		return append(append(out, segment...), file[2:]...)
	case "png":
		chunk := append([]byte("eXIf"), exif...)
		out := binary.BigEndian.AppendUint32(bytes.Clone(file[:33]), uint32(len(exif)))
		out = binary.BigEndian.AppendUint32(append(out, chunk...), crc32.ChecksumIEEE(chunk))
		return append(out, file[33:]...)
	case "webp":
		config, _, err := image.DecodeConfig(bytes.NewReader(file))
		require.NoError(t, err)
		body := []byte("WEBP")
		body = append(body, riffChunk("VP8X", append([]byte{8, 0, 0, 0}, byte(config.Width-1), 0, 0, byte(config.Height-1), 0, 0))...)
		body = append(body, file[12:]...)
		return riffChunk("RIFF", append(body, riffChunk("EXIF", exif)...))
	}
	return file
}

func riffChunk(name string, data []byte) []byte {
	out := binary.LittleEndian.AppendUint32([]byte(name), uint32(len(data)))
	out = append(out, data...)
	return append(out, make([]byte, len(data)%2)...)
}

// pair is 32 × 16 pixels, black to the left and white to the right, as a browser wrote it without loss.
func pair(t testing.TB) []byte {
	raw, err := base64.StdEncoding.DecodeString("VlA4TBsAAAAvH8ADAA8w//M///MfeBAIJPtLB7BARP+jWAEA")
	require.NoError(t, err)
	return riffChunk("RIFF", append([]byte("WEBP"), raw...))
}

// Exif 2.32, 4.6.4.A: where the left, black half of the picture is when it hangs upright.
func TestEveryFormatIsTurnedAsItsExifSays(t *testing.T) {
	black := map[int]string{1: "left", 2: "right", 3: "right", 4: "left", 5: "top", 6: "top", 7: "bottom", 8: "bottom"}
	files := map[string][]byte{"jpeg": encoded(t, "jpeg", painted(16, "kw")), "png": encoded(t, "png", painted(16, "kw")), "webp": pair(t)}
	for kind, file := range files {
		for o, side := range black {
			for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
				img, err := Read(bytes.NewReader(withExif(t, kind, file, tiff(order, o))))
				require.NoError(t, err, "%s %d", kind, o)
				assert.Equal(t, side, blackSide(img.Upright()), "%s, orientation %d", kind, o)
			}
		}
	}
}

func blackSide(img image.Image) string {
	b := img.Bounds()
	dark := func(x, y int) bool { r, _, _, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA(); return r < 0x4000 }
	switch first, last := dark(2, 2), dark(b.Dx()-3, b.Dy()-3); {
	case first && !last && b.Dx() > b.Dy():
		return "left"
	case last && !first && b.Dx() > b.Dy():
		return "right"
	case first && !last:
		return "top"
	case last && !first:
		return "bottom"
	}
	return "nowhere"
}

func TestExifThatSaysNothingLeavesThePictureAsItIs(t *testing.T) {
	good := tiff(binary.LittleEndian, 6)
	loud := bytes.Clone(good)
	binary.LittleEndian.PutUint16(loud[8:], 65535) // says that it has more fields than there are bytes
	far := bytes.Clone(good)
	binary.LittleEndian.PutUint32(far[4:], 0xffffffff)
	kind := bytes.Clone(good)
	kind[22+2] = 2 // text, not a short
	for name, exif := range map[string][]byte{
		"empty": {}, "cut short": good[:20], "far away": far, "not TIFF": []byte("XX*\x00\x08\x00\x00\x00\x00\x00"),
		"nine": tiff(binary.BigEndian, 9), "zero": tiff(binary.BigEndian, 0), "of another kind": kind,
	} {
		for format, file := range map[string][]byte{"png": encoded(t, "png", painted(16, "kw")), "webp": pair(t), "jpeg": encoded(t, "jpeg", painted(16, "kw"))} {
			img, err := Read(bytes.NewReader(withExif(t, format, file, exif)))
			require.NoError(t, err, "%s, %s", format, name)
			assert.Equal(t, "left", blackSide(img.Upright()), "%s, %s", format, name)
		}
	}
	img, err := Read(bytes.NewReader(withExif(t, "png", encoded(t, "png", painted(16, "kw")), loud)))
	require.NoError(t, err)
	assert.Equal(t, "top", blackSide(img.Upright()), "the field that is there is read")
}

// Whatever bytes a file is made of, looking for its orientation ends, within the file, with 1 to 8.
func FuzzOrientation(f *testing.F) {
	for _, kind := range []string{"jpeg", "png", "webp"} {
		file := pair(f)
		if kind != "webp" {
			file = encoded(f, kind, painted(16, "kw"))
		}
		for o := range 10 {
			f.Add(kind, withExif(f, kind, file, tiff(binary.BigEndian, o)))
		}
		f.Add(kind, []byte(strings.Repeat("\x00", 64)))
		f.Add(kind, []byte(strings.Repeat("\xff", 64)))
		f.Add(kind, fmt.Appendf(nil, "%sEXIF\xff\xff\xff\xff", file))
	}
	f.Fuzz(func(t *testing.T, kind string, data []byte) {
		if o := orientation(kind, data); o < 1 || o > 8 {
			t.Fatalf("orientation %d", o)
		}
	})
}
