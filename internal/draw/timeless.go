package draw

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
)

// The PDF library writes the hour at which it works into two places: the document's date, with the time
// zone of the machine, and, packed, the `modified` field of every font it embeds (OpenType 1.9, table head). The same drawing has to give
// the same bytes on any day, so timeless takes both out. A packed font may come out longer or shorter;
// the table of objects at the end of the file (ISO 32000-1, 7.5.4) is therefore written anew.

var (
	datePattern   = regexp.MustCompile(`/CreationDate\(D:\d{14}[^)]*\)`)
	streamPattern = regexp.MustCompile(`<</Filter/FlateDecode/Length (\d+)>>stream\n`)
	tablePattern  = regexp.MustCompile(`(?s)xref\n0 (\d+)\n(.*)trailer\n(.*)startxref\n(\d+)\n%%EOF`)
)

// timeless gives the PDF library's file without the hour it was written at. It fails on a file that is
// not laid out as that library does it.
func timeless(file []byte) ([]byte, error) {
	table := tablePattern.FindSubmatchIndex(file)
	if table == nil {
		return nil, fmt.Errorf("draw: pdf: no table of objects at the end of the file")
	}
	entries := bytes.Split(bytes.TrimSpace(file[table[4]:table[5]]), []byte("\n"))
	starts := make([]int, 0, len(entries)) // of the objects, by their number; entry 0 stands for none
	for _, entry := range entries[1:] {
		start, err := strconv.Atoi(string(bytes.Fields(entry)[0]))
		if err != nil || start > table[0] {
			return nil, fmt.Errorf("draw: pdf: the table of objects has an entry %q", entry)
		}
		starts = append(starts, start)
	}
	end := func(start int) int {
		next := table[0]
		for _, s := range starts {
			if s > start && s < next {
				next = s
			}
		}
		return next
	}

	var out, list bytes.Buffer
	out.Write(file[:slices.Min(starts)])
	fmt.Fprintf(&list, "xref\n0 %d\n%s\n", len(entries), bytes.TrimSuffix(entries[0], []byte("\n")))
	for _, start := range starts {
		object, err := timelessObject(file[start:end(start)])
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&list, "%010d 00000 n \n", out.Len())
		out.Write(object)
	}
	at := out.Len()
	out.Write(list.Bytes())
	fmt.Fprintf(&out, "trailer\n%sstartxref\n%d\n%%%%EOF", file[table[6]:table[7]], at)
	out.Write(file[table[1]:])
	return out.Bytes(), nil
}

// timelessObject gives one object of a PDF with no hour in it.
func timelessObject(object []byte) ([]byte, error) {
	head := streamPattern.FindSubmatchIndex(object)
	if head == nil {
		return datePattern.ReplaceAll(object, []byte("/CreationDate(D:20000101000000Z)")), nil
	}
	length, err := strconv.Atoi(string(object[head[2]:head[3]]))
	if err != nil || head[1]+length > len(object) {
		return nil, fmt.Errorf("draw: pdf: a stream of %s bytes runs over its end", object[head[2]:head[3]])
	}
	packed := object[head[1] : head[1]+length]
	r, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("draw: pdf: %w", err)
	}
	plain, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("draw: pdf: %w", err)
	}
	if !timelessFont(plain) {
		return object, nil
	}
	var again bytes.Buffer
	w := zlib.NewWriter(&again)
	_, err = w.Write(plain)
	if err := errors.Join(err, w.Close()); err != nil {
		return nil, fmt.Errorf("draw: pdf: %w", err)
	}
	var out bytes.Buffer
	out.Write(object[:head[2]])
	fmt.Fprint(&out, again.Len())
	out.Write(object[head[3]:head[1]])
	out.Write(again.Bytes())
	out.Write(object[head[1]+length:])
	return out.Bytes(), nil
}

// timelessFont sets the `modified` field of a TrueType font to its `created` field and mends the two
// sums that cover it (OpenType 1.9: the table directory's checksum of head, and head's own adjustment,
// which makes all 32-bit words of the file add up to 0xB1B0AFBA). It says whether b was a font.
func timelessFont(b []byte) bool {
	be := binary.BigEndian
	if len(b) < 12 || be.Uint32(b) != 0x00010000 {
		return false
	}
	for i := range int(be.Uint16(b[4:])) {
		entry := 12 + 16*i
		if entry+16 > len(b) {
			return false
		}
		if string(b[entry:entry+4]) != "head" {
			continue
		}
		at, n := int(be.Uint32(b[entry+8:])), int(be.Uint32(b[entry+12:]))
		if n < 36 || at+n > len(b) {
			return false
		}
		head := b[at : at+(n+3)&^3]
		copy(head[28:36], head[20:28])
		be.PutUint32(head[8:], 0)
		be.PutUint32(b[entry+4:], wordSum(head))
		be.PutUint32(head[8:], 0xB1B0AFBA-wordSum(b))
		return true
	}
	return false
}

// wordSum adds up big-endian 32-bit words, overflow dropped; b is a whole number of words long, as
// every table of a font is padded to be.
func wordSum(b []byte) uint32 {
	sum := uint32(0)
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	return sum
}
