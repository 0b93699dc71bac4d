package kernel

import (
	"bytes"
	"io"
	"mime"
	"net/http"
	"strings"
	"unicode"
)

// maxFileName is the most characters of a title that go into a file's name.
const maxFileName = 60

// FileName makes a file's name of a title: letters and digits of any script, all else becomes "-".
func FileName(title string) string {
	var b strings.Builder
	gap, n := false, 0
	for _, c := range title {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) && !unicode.IsMark(c) {
			gap = b.Len() > 0
			continue
		}
		if n++; n > maxFileName {
			break
		}
		if gap {
			b.WriteByte('-')
			gap = false
		}
		b.WriteRune(c)
	}
	if b.Len() == 0 {
		return "figure"
	}
	return b.String()
}

// HandOut hands out a file named for the figure. It is made whole before a byte is sent.
func HandOut(w http.ResponseWriter, title, ending, kind string, write func(io.Writer) error) error {
	var body bytes.Buffer
	if err := write(&body); err != nil {
		return err
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": FileName(title) + "." + ending}))
	_, _ = w.Write(body.Bytes()) // the reader may be gone; nothing is left to do then
	return nil
}
