package figure

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"tuckring/internal/words"
)

// The log keeps strokes packed, since a stroke by hand has a run for nearly every unit and its cost on the disk
// grows with its bytes:
//
//	{"do":"strokes","looks":[{"colour":"chalk","if_colour":"soot"}],"runs":"17,3 1,0 1,0,12"}
//
// Each word of runs is a run: how much its ring's identity and its first unit exceed those of the run before
// (of 0 and 0 at first), its units, and its look, counted from 0. The look is left out when it is that of the
// run before (the first at first), and then the units too when they are 1.
//
// The first databases with packed strokes (migration 3) have four numbers for each run instead, with blanks between
// all of them: its ring's identity, its first unit, its units and its look.

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
	var last PaintRun
	lastPlace := 0
	numbers := make([]byte, 0, 16+6*len(p.Runs))
	places := map[paintLook]int{}
	for _, r := range p.Runs {
		look := paintLook{r.Colour, r.Side, r.IfColour, r.IfSide}
		place, known := places[look]
		if !known {
			place = len(looks)
			places[look], looks = place, append(looks, look)
		}
		numbers = strconv.AppendInt(numbers, int64(r.Ring-last.Ring), 10)
		numbers = strconv.AppendInt(append(numbers, ','), int64(r.At-last.At), 10)
		if r.N != 1 || place != lastPlace {
			numbers = strconv.AppendInt(append(numbers, ','), int64(r.N), 10)
		}
		if place != lastPlace {
			numbers = strconv.AppendInt(append(numbers, ','), int64(place), 10)
		}
		numbers = append(numbers, ' ')
		last, lastPlace = r, place
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
		return decodeLogged(raw)
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

// unpackRuns reads the runs of a packed stroke.
func unpackRuns(text string, looks []paintLook) (runs []PaintRun, ok bool) {
	if text == "" {
		return nil, true
	}
	if !strings.Contains(text, ",") {
		return unpackFours(text, looks)
	}
	runs = make([]PaintRun, 0, strings.Count(text, " ")+1)
	ring, at, look := 0, 0, 0
	for word := range strings.SplitSeq(text, " ") {
		n, have := [4]int{2: 1, 3: look}, 0
		for number := range strings.SplitSeq(word, ",") {
			value, err := strconv.Atoi(number)
			if err != nil || have == len(n) {
				return nil, false
			}
			n[have] = value
			have++
		}
		ring, at, look = ring+n[0], at+n[1], n[3]
		if have < 2 || look < 0 || look >= len(looks) {
			return nil, false
		}
		l := looks[look]
		runs = append(runs, PaintRun{RingID(ring), at, n[2], l.Colour, l.Side, l.IfColour, l.IfSide})
	}
	return runs, true
}

// unpackFours reads the runs of a stroke that was packed in the first form.
func unpackFours(text string, looks []paintLook) (runs []PaintRun, ok bool) {
	var numbers []int
	for number := range strings.SplitSeq(text, " ") {
		n, err := strconv.Atoi(number)
		if err != nil || n < 0 {
			return nil, false
		}
		numbers = append(numbers, n)
	}
	if len(numbers)%4 != 0 {
		return nil, false
	}
	for four := range slices.Chunk(numbers, 4) {
		if four[3] >= len(looks) {
			return nil, false
		}
		l := looks[four[3]]
		runs = append(runs, PaintRun{RingID(four[0]), four[1], four[2], l.Colour, l.Side, l.IfColour, l.IfSide})
	}
	return runs, true
}
