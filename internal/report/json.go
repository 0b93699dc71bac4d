package report

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strconv"
	"strings"
)

// WriteJSON writes v as indented JSON for people and programs, with every number as a person would write it.
// This is the one place that says how fine numbers of a `--json` answer are:
//
//   - what is estimated, to a tenth: minutes (keys that end in _min) and the figure's size (under "size");
//   - masses to a tenth of a gram (_g);
//   - differences of colours (_difference) to a thousandth of one in CIEDE2000;
//   - everything else, the lengths that paper is cut to among it, to the nanometre (six decimals of a mm),
//     which is as fine as lengths are told apart.
//
// A number that has noise of binary arithmetic behind its last place (35.519999999999996) so loses it. The error
// is that of encoding v or of the writer.
func WriteJSON(w io.Writer, v any) error {
	var plain bytes.Buffer
	e := json.NewEncoder(&plain)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, tidyNumbers(plain.Bytes()), "", "  "); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
}

// tidyNumbers rounds every number of valid, compact JSON as its name asks.
func tidyNumbers(data []byte) []byte {
	out := make([]byte, 0, len(data))
	keys := []string{""} // by depth, the key that was read last
	for at := 0; at < len(data); {
		c := data[at]
		switch {
		case c == '"':
			end := at + stringEnd(data[at:])
			if end < len(data) && data[end] == ':' {
				keys[len(keys)-1] = string(data[at+1 : end-1])
			}
			out = append(out, data[at:end]...)
			at = end
			continue
		case c == '-' || c >= '0' && c <= '9':
			end := at + 1
			for end < len(data) && strings.IndexByte("0123456789.eE+-", data[end]) >= 0 {
				end++
			}
			out = append(out, tidyNumber(string(data[at:end]), keys)...)
			at = end
			continue
		case c == '{' || c == '[':
			keys = append(keys, "")
		case c == '}' || c == ']':
			keys = keys[:len(keys)-1]
		}
		out = append(out, c)
		at++
	}
	return out
}

// stringEnd is the length of the JSON string that data starts with, its quotes among it.
func stringEnd(data []byte) int {
	for i := 1; i < len(data); i++ {
		switch data[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(data)
}

func tidyNumber(text string, keys []string) string {
	if !strings.ContainsAny(text, ".eE") {
		return text
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return text
	}
	return strconv.FormatFloat(rounded(v, decimalsUnder(keys)), 'f', -1, 64)
}

// decimalsUnder is how many decimals a number has that stands under these keys, the outermost first.
func decimalsUnder(keys []string) int {
	for _, k := range keys {
		if k == "size" || strings.HasSuffix(k, "_min") || strings.HasSuffix(k, "_g") {
			return 1
		}
		if strings.HasSuffix(k, "_difference") {
			return 3
		}
	}
	return 6
}

// rounded rounds to decimals; a number too large for them stays as it is.
func rounded(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	if r := math.Round(v*p) / p; !math.IsInf(r, 0) && !math.IsNaN(r) {
		return r + 0 // no negative zero
	}
	return v
}
