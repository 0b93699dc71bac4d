package picture

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Colours reads the papers that a pattern may use. The file is a figure document, whose colours are
// taken; or a JSON list of colours as a document has them; or lines of text such as
// "#a63a2b Brick red". The error says what is wrong and where.
func Colours(data []byte) ([]figure.Colour, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	trimmed := bytes.TrimSpace(data)
	switch {
	case len(data) > figure.MaxBytes:
		return nil, words.T("picture.colours.heavy", "Limit", figure.MaxBytes>>20)
	case len(trimmed) == 0:
		return nil, words.T("picture.colours", "Found", 0, "Most", figure.MaxColours)
	case trimmed[0] == '{':
		f, err := figure.Read(data)
		if err != nil {
			return nil, err
		}
		return f.Colours, nil
	case trimmed[0] == '[':
		return listed(trimmed)
	}
	return lines(string(trimmed))
}

func listed(data []byte) ([]figure.Colour, error) {
	var list []struct{ ID, Name, Hex, Sign string }
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&list); err != nil {
		return nil, words.T("picture.colours.json", "Reason", err.Error())
	}
	if dec.More() {
		return nil, words.T("picture.colours.json", "Reason", "more follows after the list")
	}
	out := make([]figure.Colour, len(list))
	for i, c := range list {
		out[i] = figure.Colour{ID: c.ID, Name: c.Name, Hex: strings.ToLower(c.Hex), Sign: c.Sign}
		if c.ID == "" {
			out[i].ID = fmt.Sprintf("paper-%d", i+1)
		}
		if c.Name == "" {
			out[i].Name = out[i].Hex
		}
	}
	return checked(out)
}

func lines(text string) ([]figure.Colour, error) {
	var out []figure.Colour
	for n, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		hex, name, _ := strings.Cut(line, " ")
		if name = strings.TrimSpace(name); name == "" {
			name = hex
		}
		if len(hex) != 7 || hex[0] != '#' || strings.Trim(hex[1:], "0123456789abcdefABCDEF") != "" {
			return nil, words.T("picture.colours.line", "Line", n+1, "Found", clip(line))
		}
		out = append(out, figure.Colour{ID: fmt.Sprintf("paper-%d", len(out)+1), Name: name, Hex: strings.ToLower(hex)})
	}
	return checked(out)
}

// checked lets the document's own rules judge the colours.
func checked(colours []figure.Colour) ([]figure.Colour, error) {
	if len(colours) == 0 || len(colours) > figure.MaxColours {
		return nil, words.T("picture.colours", "Found", len(colours), "Most", figure.MaxColours)
	}
	unit := figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}
	if faults := figure.Tube("colours", unit, colours, figure.MinUnits, 1).Validate(); len(faults) > 0 {
		return nil, faults
	}
	return colours, nil
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}
