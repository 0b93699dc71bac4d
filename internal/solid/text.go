package solid

import (
	"bytes"
	"strconv"
	"unicode/utf8"
)

// text reads the lines of a file as words.
//
// No more words are held at a time than the longest face has: what else a line has is left out.
type text struct {
	data   []byte
	line   int // number of the line read last, from 1
	fields [][]byte
	shows  []byte
}

func newText(data []byte) *text { return &text{data: bytes.TrimPrefix(data, []byte("\ufeff"))} }

// next gives the words of the next line that has any; nil at the end. They are good until the next call.
func (t *text) next() [][]byte {
	for len(t.data) > 0 {
		line := t.data
		if end := bytes.IndexByte(t.data, '\n'); end >= 0 {
			line, t.data = t.data[:end], t.data[end+1:]
		} else {
			t.data = nil
		}
		t.line++
		t.shows = line
		t.fields, _ = split(t.fields[:0], line)
		if len(t.fields) > 0 {
			return t.fields
		}
	}
	return nil
}

// flow gives the words that come, wherever lines end; nil at the end. They are good until the next call.
func (t *text) flow() [][]byte {
	read := 0
	t.fields, read = split(t.fields[:0], t.data)
	if t.data = t.data[read:]; len(t.fields) == 0 {
		return nil
	}
	return t.fields
}

// mostWords is one more than a face of mostCorners corners has with the word that says what it is.
const mostWords = mostCorners + 2

// split appends the words of a line until there are mostWords, and says how many bytes it read.
func split(to [][]byte, line []byte) (words [][]byte, read int) {
	i := 0
	for i < len(line) && len(to) < mostWords {
		if line[i] <= ' ' {
			i++
			continue
		}
		from := i
		for i < len(line) && line[i] > ' ' {
			i++
		}
		to = append(to, line[from:i])
	}
	return to, i
}

// shown is the line read last as an error shows it.
func (t *text) shown() string { return clip(bytes.TrimSpace(t.shows)) }

// mostClipped is how many bytes of a file an error shows.
const mostClipped = 40

func clip(b []byte) string {
	long := len(b) > mostClipped
	b = b[:min(len(b), mostClipped)]
	out := make([]rune, 0, len(b))
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		if r < ' ' || r == utf8.RuneError {
			r = '?'
		}
		out, b = append(out, r), b[n:]
	}
	if long {
		out = append(out, '…')
	}
	return string(out)
}

func number(b []byte) (float64, bool) {
	v, err := strconv.ParseFloat(string(b), 64)
	return v, err == nil
}

func whole(b []byte) (int, bool) {
	v, err := strconv.Atoi(string(b))
	return v, err == nil
}
