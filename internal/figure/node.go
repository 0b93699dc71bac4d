package figure

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"tuckring/internal/words"
)

// node is a JSON value that remembers the order of its members and where it stands, so that every
// fault can name its place. It follows RFC 8259, with two things that RFC leaves open settled:
// a name given twice and text that is not valid UTF-8 are refused.
type node struct {
	where   string
	kind    nodeKind
	members []member
	items   []*node
	text    string // of a string or number
}

type member struct {
	name  string
	value *node
}

type nodeKind uint8

const (
	isNull nodeKind = iota
	isBool
	isNumber
	isString
	isList
	isObject
)

func (k nodeKind) word() words.Text {
	return words.T([...]string{"figure.kind.null", "figure.kind.bool", "figure.kind.number",
		"figure.kind.text", "figure.kind.list", "figure.kind.object"}[k])
}

// maxDepth is deeper than any document of version 1 goes.
const maxDepth = 16

// parse reads one JSON value that fills data. Its faults name line and column.
func parse(data []byte) (*node, *Fault) {
	if len(data) > MaxBytes {
		return nil, fault("", words.T("figure.doc.too_long", "Bytes", len(data)), words.T("figure.doc.too_long.fix", "Max", MaxBytes>>20))
	}
	if !utf8.Valid(data) {
		return nil, fault(position(data, int64(invalidAt(data))), words.T("figure.doc.not_utf8"), words.T("figure.doc.not_utf8.fix"))
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	n, err := readNode(dec, "", 0)
	if err == nil {
		if _, end := dec.Token(); end != io.EOF {
			return nil, fault(position(data, dec.InputOffset()), words.T("figure.doc.trailing"), words.T("figure.doc.trailing.fix"))
		}
		return n, nil
	}
	var f *Fault
	if errors.As(err, &f) {
		return nil, f
	}
	at := dec.InputOffset()
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		at = syntax.Offset
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, fault(position(data, int64(len(data))), words.T("figure.doc.cut_short"), words.T("figure.doc.cut_short.fix"))
	}
	return nil, fault(position(data, at), words.T("figure.doc.not_json", "Reason", strings.TrimPrefix(err.Error(), "json: ")), words.T("figure.doc.not_json.fix"))
}

func invalidAt(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return len(data)
}

// position names a byte offset as line and column, both from 1.
func position(data []byte, offset int64) string {
	offset = min(max(offset, 0), int64(len(data)))
	before := data[:offset]
	line := 1 + bytes.Count(before, []byte("\n"))
	column := 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
	return words.English.T("figure.position", "Line", line, "Column", column)
}

func readNode(dec *json.Decoder, where string, depth int) (*node, error) {
	if depth > maxDepth {
		return nil, fault(where, words.T("figure.doc.too_deep"), words.T("figure.doc.too_deep.fix"))
	}
	tok, err := dec.Token()
	if err != nil {
		return nil, err
	}
	n := &node{where: where}
	switch v := tok.(type) {
	case nil:
		n.kind = isNull
	case bool:
		n.kind = isBool
	case json.Number:
		n.kind, n.text = isNumber, v.String()
	case string:
		n.kind, n.text = isString, v
	case json.Delim:
		if v == '{' {
			n.kind = isObject
			return n, readMembers(dec, n, depth)
		}
		n.kind = isList
		return n, readItems(dec, n, depth)
	}
	return n, nil
}

func readMembers(dec *json.Decoder, n *node, depth int) error {
	seen := map[string]bool{}
	for dec.More() {
		tok, err := dec.Token()
		if err != nil {
			return err
		}
		name := tok.(string)
		at := join(n.where, name)
		if seen[name] {
			return fault(at, words.T("figure.doc.twice", "Name", name), words.T("figure.doc.twice.fix"))
		}
		seen[name] = true
		value, err := readNode(dec, at, depth+1)
		if err != nil {
			return err
		}
		n.members = append(n.members, member{name, value})
	}
	_, err := dec.Token()
	return err
}

func readItems(dec *json.Decoder, n *node, depth int) error {
	for dec.More() {
		item, err := readNode(dec, fmt.Sprintf("%s[%d]", n.where, len(n.items)), depth+1)
		if err != nil {
			return err
		}
		n.items = append(n.items, item)
	}
	_, err := dec.Token()
	return err
}

func join(where, name string) string {
	if where == "" {
		return name
	}
	return where + "." + name
}

func (n *node) get(name string) *node {
	for _, m := range n.members {
		if m.name == name {
			return m.value
		}
	}
	return nil
}

func fault(where string, what, fix words.Text) *Fault {
	return &Fault{Where: where, What: what, Fix: fix}
}

// number gives the value of a number; ok is false when it does not fit a float64.
func (n *node) number() (v float64, ok bool) {
	v, err := json.Number(n.text).Float64()
	return v, err == nil && !math.IsInf(v, 0)
}
