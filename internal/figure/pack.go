package figure

import (
	"bytes"
	"encoding/json"
	"strconv"

	"tuckring/internal/words"
)

// The log keeps strokes packed, since a stroke by hand has a run for nearly every unit and its cost on the disk
// grows with its bytes:
//
//	{"do":"strokes","looks":[{"colour":"chalk","if_colour":"soot"}],"runs":"17 3 1 0 18 3 1 0"}
//
// Each four numbers of runs are a run's ring, first unit, units and look, counted from 0.

// packedStart tells a packed stroke from an edit as it travels.
const packedStart = `{"do":"strokes",`

// paintLook is what a run does to each of its units.
type paintLook struct {
	Colour   string `json:"colour,omitempty"`
	Side     string `json:"side,omitempty"`
	IfColour string `json:"if_colour,omitempty"`
	IfSide   string `json:"if_side,omitempty"`
}

// PackEdit writes an edit for the log; UnpackEdit reads it.
func PackEdit(e Edit) []byte {
	p, painting := e.(*Paint)
	if !painting {
		return EncodeEdit(e)
	}
	var looks []paintLook
	numbers := make([]byte, 0, 16+12*len(p.Runs))
	places := map[paintLook]int{}
	for _, r := range p.Runs {
		look := paintLook{r.Colour, r.Side, r.IfColour, r.IfSide}
		place, known := places[look]
		if !known {
			place = len(looks)
			places[look], looks = place, append(looks, look)
		}
		for _, n := range [...]int{int(r.Ring), r.At, r.N, place} {
			numbers = append(strconv.AppendInt(numbers, int64(n), 10), ' ')
		}
	}
	written, err := json.Marshal(looks)
	if err != nil {
		panic("figure: a stroke that cannot be written: " + err.Error())
	}
	out := make([]byte, 0, len(packedStart)+len(written)+len(numbers)+24)
	out = append(append(append(out, packedStart...), `"looks":`...), written...)
	out = append(append(out, `,"runs":"`...), bytes.TrimSuffix(numbers, []byte(" "))...)
	return append(out, `"}`...)
}

// UnpackEdit reads an edit of the log, packed or as it travelled. Errors are Faults.
func UnpackEdit(raw []byte) (Edit, error) {
	if !bytes.HasPrefix(raw, []byte(packedStart)) {
		return DecodeEdit(raw)
	}
	var body struct {
		Looks []paintLook `json:"looks"`
		Runs  string      `json:"runs"`
	}
	err := json.Unmarshal(raw, &body)
	runs, ok := unpackRuns(body.Runs, body.Looks)
	if err != nil || !ok {
		return nil, refuse("", words.T("figure.edit.not_json", "Reason", "a packed stroke that cannot be read"), words.T("figure.edit.not_json.fix"))
	}
	return &Paint{Runs: runs}, nil
}

// unpackRuns reads the numbers of a packed stroke.
func unpackRuns(text string, looks []paintLook) (runs []PaintRun, ok bool) {
	if text == "" {
		return nil, true
	}
	runs = make([]PaintRun, 0, len(text)/8+1)
	var four [4]int
	have := 0
	for from := 0; from <= len(text); have++ {
		to := from
		n := 0
		for ; to < len(text) && text[to] != ' '; to++ {
			digit := int(text[to]) - '0'
			if digit < 0 || digit > 9 || to-from >= 10 {
				return nil, false
			}
			n = 10*n + digit
		}
		if to == from {
			return nil, false
		}
		four[have%4], from = n, to+1
		if have%4 < 3 {
			continue
		}
		if n >= len(looks) {
			return nil, false
		}
		l := looks[n]
		runs = append(runs, PaintRun{RingID(four[0]), four[1], four[2], l.Colour, l.Side, l.IfColour, l.IfSide})
	}
	return runs, have%4 == 0
}
