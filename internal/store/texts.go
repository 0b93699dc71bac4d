package store

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Sentences are stored as their keys and values, never as said, so that each reader gets them in a
// language of their own.

type storedText struct {
	Key  string         `json:"key"`
	Args map[string]any `json:"args,omitempty"`
}

type storedFault struct {
	Where string     `json:"where,omitempty"`
	Ring  int        `json:"ring,omitempty"`
	What  storedText `json:"what"`
	Fix   storedText `json:"fix"`
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

func encodeText(t words.Text) ([]byte, error) { return encode(toStored(t)) }

func toStored(t words.Text) storedText {
	s := storedText{Key: t.Key}
	for name, v := range t.Args {
		if s.Args == nil {
			s.Args = map[string]any{}
		}
		if inner, ok := v.(words.Text); ok {
			v = toStored(inner)
		}
		s.Args[name] = v
	}
	return s
}

func decodeText(raw []byte) (words.Text, error) {
	var s storedText
	if err := decode(raw, &s); err != nil {
		return words.Text{}, err
	}
	return s.text(), nil
}

// decode reads JSON, keeping whole numbers whole.
func decode(raw []byte, into any) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	if err := dec.Decode(into); err != nil {
		return fmt.Errorf("store: a stored sentence cannot be read: %w", err)
	}
	return nil
}

func (s storedText) text() words.Text {
	t := words.Text{Key: s.Key}
	if len(s.Args) > 0 {
		t.Args = words.Args{}
	}
	for name, v := range s.Args {
		t.Args[name] = argument(v)
	}
	return t
}

// argument gives a value of a sentence back: a text, a whole number, a fraction or another sentence.
func argument(v any) any {
	switch v := v.(type) {
	case json.Number:
		if n, err := strconv.Atoi(v.String()); err == nil {
			return n
		}
		f, _ := v.Float64() // JSON has been read: it is a number
		return f
	case map[string]any:
		inner := words.Text{}
		inner.Key, _ = v["key"].(string)
		if args, ok := v["args"].(map[string]any); ok {
			inner = storedText{inner.Key, args}.text()
		}
		return inner
	}
	return v
}

func encodeFaults(faults figure.Faults) ([]byte, error) {
	out := make([]storedFault, len(faults))
	for i, f := range faults {
		out[i] = storedFault{f.Where, f.Ring, toStored(f.What), toStored(f.Fix)}
	}
	return encode(out)
}

func decodeFaults(raw []byte) (figure.Faults, error) {
	var stored []storedFault
	if err := decode(raw, &stored); err != nil {
		return nil, err
	}
	var out figure.Faults
	for _, f := range stored {
		out = append(out, figure.Fault{Where: f.Where, Ring: f.Ring, What: f.What.text(), Fix: f.Fix.text()})
	}
	return out, nil
}
