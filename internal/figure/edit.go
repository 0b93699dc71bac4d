package figure

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"reflect"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// Edit is one change of a figure, as a value. It names rings, colours and extras by their
// identities, so that the edits of two people can meet in any order. Applying it gives the edit
// that takes it back exactly.
type Edit interface {
	word() string
	// apply changes f or, on an error, leaves it as it was. Errors are Faults.
	apply(f *Figure) (inverse Edit, ch Change, err error)
	// label names the edit for the history, seen from the figure before it.
	label(f *Figure) words.Text
}

// Change tells what an edit changed, so that whoever shows the figure can redraw just that.
type Change struct {
	Paint   []PaintRun // units that now have another colour or side, each run alike
	Rings   []RingID   // rings that are new, or whose units, notes or places changed
	Order   bool       // rings came, went or moved
	Parts   bool       // parts came, went, or stand or are called otherwise
	Colours bool
	Extras  bool
	Front   bool
	Title   bool
	Unit    bool
	Missed  int          // units of a stroke whose ring is gone or has become smaller
	Remarks []words.Text // what the maker should know about how the edit was carried out
}

// Empty says that nothing changed.
func (c *Change) Empty() bool {
	return len(c.Paint) == 0 && len(c.Rings) == 0 && !c.Order && !c.Parts && !c.Colours && !c.Extras && !c.Front && !c.Title && !c.Unit
}

func (c *Change) add(d Change) {
	c.Paint = append(c.Paint, d.Paint...)
	for _, id := range d.Rings {
		if !containsRing(c.Rings, id) {
			c.Rings = append(c.Rings, id)
		}
	}
	c.Order = c.Order || d.Order
	c.Parts = c.Parts || d.Parts
	c.Colours = c.Colours || d.Colours
	c.Extras = c.Extras || d.Extras
	c.Front = c.Front || d.Front
	c.Title = c.Title || d.Title
	c.Unit = c.Unit || d.Unit
	c.Missed += d.Missed
	c.Remarks = append(c.Remarks, d.Remarks...)
}

func containsRing(ids []RingID, id RingID) bool {
	for _, have := range ids {
		if have == id {
			return true
		}
	}
	return false
}

// Apply carries out an edit. On an error, which is a Faults, the figure is as it was.
func Apply(f *Figure, e Edit) (inverse Edit, ch Change, err error) {
	return f.withTwins(e, func() (Edit, Change, error) { return e.apply(f) })
}

// Label names an edit for the history ("Painted 12 units"), seen from the figure before it.
func Label(f *Figure, e Edit) words.Text { return e.label(f) }

// MaxEdits is the most edits that a Batch may hold.
const MaxEdits = 1000

// maxBatchDepth is how deep batches may stand in one another; inverses need two.
const maxBatchDepth = 4

var editKinds = map[string]func() Edit{}

// logKinds are the kinds that only the log holds: they name identities and whole rings as they were, so
// nobody outside may send them. An undo, a redo and the bringing back of a version make them.
var logKinds = map[string]bool{}

func register[E any, P interface {
	*E
	Edit
}]() {
	editKinds[P(new(E)).word()] = func() Edit { return P(new(E)) }
}

func registerForLog[E any, P interface {
	*E
	Edit
}]() {
	register[E, P]()
	logKinds[P(new(E)).word()] = true
}

func init() {
	register[Paint]()
	register[InsertRing]()
	register[DuplicateRings]()
	register[RemoveRings]()
	register[MoveRings]()
	register[SetCount]()
	register[SetCounts]()
	register[Take]()
	register[LeaveFree]()
	register[LeaveOut]()
	register[FillIn]()
	register[Reshape]()
	register[Turn]()
	registerForLog[Splice]()
	register[RingNote]()
	register[SetTitle]()
	register[SetUnit]()
	register[SetFront]()
	register[AddColour]()
	register[EditColour]()
	register[RemoveColour]()
	register[OrderColours]()
	register[AddExtra]()
	register[EditExtra]()
	register[RemoveExtra]()
	register[Grow]()
	register[SetOn]()
	register[AddTwin]()
	register[MovePart]()
	register[EditPart]()
	register[RemovePart]()
	registerForLog[PutPart]()
	registerForLog[TakeOutPart]()
	register[Batch]()
	registerForLog[Become]()
}

// DecodeEdit reads an edit that somebody sends, from JSON: an object whose "do" names the kind. Unknown
// kinds and fields are refused, and so are the kinds that only the log holds (Splice, Become, PutPart, TakeOutPart), however
// deep in a batch, and names and notes that show nothing or read otherwise than they are written (NameFault, NoteFault). Errors are Faults.
func DecodeEdit(raw []byte) (Edit, error) { return decodeEdit(raw, 0, false) }

// decodeLogged reads an edit of the log, of any kind.
func decodeLogged(raw []byte) (Edit, error) { return decodeEdit(raw, 0, true) }

func decodeEdit(raw []byte, depth int, logged bool) (Edit, error) {
	if depth > maxBatchDepth {
		return nil, refuse("edits", words.T("figure.edit.deep"), words.T("figure.edit.deep.fix"))
	}
	var head struct {
		Do string `json:"do"`
	}
	if err := json.Unmarshal(raw, &head); err != nil {
		return nil, refuse("", words.T("figure.edit.not_json", "Reason", err.Error()), words.T("figure.edit.not_json.fix"))
	}
	make, ok := editKinds[head.Do]
	if !ok || (logKinds[head.Do] && !logged) {
		return nil, refuse("do", words.T("figure.edit.unknown", "Do", clip(head.Do)), words.T("figure.edit.unknown.fix"))
	}
	e := make()
	switch e := e.(type) {
	case *Batch:
		return e, e.decode(raw, depth, logged)
	case *Paint: // by far the most, and the longest: read in one go
		var body struct {
			Do   string     `json:"do"`
			Runs []PaintRun `json:"runs"`
		}
		err := strictly(raw, &body)
		e.Runs = body.Runs
		if len(e.Runs) == 0 {
			e.Runs = nil // as a packed stroke of nothing is read
		}
		return e, err
	}
	if err := strict(raw, e); err != nil {
		return nil, err
	}
	if !logged {
		return e, editNameFault(e)
	}
	return e, nil
}

// strict decodes the fields of an edit but its "do", refusing unknown ones.
func strict(raw []byte, into any) error {
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(raw, &fields); err != nil {
		return refuse("", words.T("figure.edit.not_json", "Reason", err.Error()), words.T("figure.edit.not_json.fix"))
	}
	delete(fields, "do")
	rest, err := json.Marshal(fields)
	if err != nil {
		return refuse("", words.T("figure.edit.not_json", "Reason", err.Error()), words.T("figure.edit.not_json.fix"))
	}
	return strictly(rest, into)
}

// strictly decodes an object, refusing unknown fields.
func strictly(raw []byte, into any) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil && !errors.Is(err, io.EOF) {
		var wrong *json.UnmarshalTypeError
		if errors.As(err, &wrong) {
			return refuse(wrong.Field, words.T("figure.edit.type", "Found", wrong.Value), words.T("figure.edit.type.fix", "Type", wrong.Type.String()))
		}
		return refuse("", words.T("figure.edit.field", "Reason", clip(err.Error())), words.T("figure.edit.field.fix"))
	}
	return nil
}

// EncodeEdit writes an edit as JSON that DecodeEdit reads.
func EncodeEdit(e Edit) []byte {
	body, err := json.Marshal(e)
	if err != nil {
		panic("figure: an edit that cannot be written: " + err.Error())
	}
	out := []byte(`{"do":` + strconv.Quote(e.word()))
	if len(body) > 2 {
		out = append(out, ',')
	}
	return append(out, body[1:]...)
}

func refuse(where string, what, fix words.Text) Faults {
	return Faults{{Where: where, What: what, Fix: fix}}
}

// PaintRun is a stretch of one ring: units At … At+N−1 get the colour, the side, or both. A run that
// crosses the seam is two runs. IfColour and IfSide, used by undo, leave out the units that look
// different by now.
type PaintRun struct {
	Ring     RingID `json:"ring"`
	At       int    `json:"at"`
	N        int    `json:"n"`
	Colour   string `json:"colour,omitempty"`
	Side     string `json:"side,omitempty" oneof:"long,short"`
	IfColour string `json:"if_colour,omitempty"`
	IfSide   string `json:"if_side,omitempty" oneof:"long,short"`
}

// Paint gives units a colour or turns their side outwards. Units on a ring that is gone by now, or
// beyond the end of one that has become smaller, are passed over and counted in Change.Missed.
// Without runs it changes nothing.
type Paint struct {
	Runs []PaintRun `json:"runs"`
}

func (*Paint) word() string { return "paint" }

func (p *Paint) label(f *Figure) words.Text {
	n, side := 0, false
	colour := ""
	for _, r := range p.Runs {
		n += r.N
		side = side || r.Side != ""
		switch colour {
		case "", r.Colour:
			colour = r.Colour
		default:
			colour = "*"
		}
	}
	if side && colour == "" {
		return words.T("figure.did.side", "Count", n)
	}
	if i, ok := f.ColourIndex(colour); ok {
		return words.T("figure.did.paint_colour", "Count", n, "Colour", f.Colours[i].Name)
	}
	return words.T("figure.did.paint", "Count", n)
}

// Strokes are the runs that an edit paints, in order. ok is false for an edit that may change the looks or
// the places of units of standing rings in another way.
func Strokes(e Edit) (runs []PaintRun, ok bool) {
	switch e := e.(type) {
	case *Paint:
		return e.Runs, true
	case *Batch:
		for _, part := range e.Edits {
			more, ok := Strokes(part)
			if !ok {
				return nil, false
			}
			runs = append(runs, more...)
		}
		return runs, true
	case *InsertRing, *DuplicateRings, *RemoveRings, *MoveRings, *RingNote, *SetTitle, *SetUnit, *SetFront,
		*AddColour, *EditColour, *OrderColours, *AddExtra, *EditExtra, *RemoveExtra:
		return nil, true
	}
	return nil, false
}

// look is what painting changes of a unit.
type look struct {
	colour uint8
	side   Side
}

func (p *Paint) apply(f *Figure) (Edit, Change, error) {
	type target struct {
		ring             int
		colour, ifColour int // −1 for any
		side, ifSide     int
		from, to, missed int
	}
	if len(p.Runs) > MaxAllUnits {
		return nil, Change{}, refuse("runs", words.T("figure.paint.many", "Count", len(p.Runs)), words.T("figure.paint.many.fix", "Max", MaxAllUnits))
	}
	where := ringFinder(f, len(p.Runs))
	targets := make([]target, 0, len(p.Runs))
	for i, r := range p.Runs {
		at := "runs[" + strconv.Itoa(i) + "]"
		if r.N < 1 || r.At < 0 || r.At >= MaxUnits || r.N > MaxUnits {
			return nil, Change{}, refuse(at, words.T("figure.paint.range", "At", r.At, "N", r.N), words.T("figure.paint.range.fix", "Max", MaxUnits))
		}
		if r.Ring < 1 || r.Ring >= f.NextRing {
			return nil, Change{}, refuse(at+".ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
		}
		t := target{colour: -1, ifColour: -1, side: -1, ifSide: -1, from: r.At, to: r.At + r.N}
		for _, c := range []struct {
			id string
			to *int
		}{{r.Colour, &t.colour}, {r.IfColour, &t.ifColour}} {
			if c.id == "" {
				continue
			}
			index, ok := f.ColourIndex(c.id)
			if !ok {
				return nil, Change{}, refuse(at+".colour", words.T("figure.no_colour", "ID", clip(c.id)), words.T("figure.no_colour.fix"))
			}
			*c.to = index
		}
		var ok1, ok2 bool
		t.side, ok1 = sideIndex(r.Side)
		t.ifSide, ok2 = sideIndex(r.IfSide)
		if !ok1 || !ok2 {
			return nil, Change{}, refuse(at+".side", words.T("figure.choice", "Found", clip(r.Side)), words.T("figure.choice.fix", "Allowed", "long, short"))
		}
		if t.colour < 0 && t.side < 0 {
			return nil, Change{}, refuse(at, words.T("figure.paint.nothing"), words.T("figure.paint.nothing.fix"))
		}
		ring, ok := where(r.Ring)
		t.ring = ring
		if !ok {
			t.missed, t.to = r.N, t.from
		} else if n := len(f.Rings[ring].Cells); t.to > n {
			t.missed = min(t.to-n, r.N)
			t.to = max(n, t.from)
		}
		targets = append(targets, t)
	}
	var ch Change
	var back []PaintRun
	for i, t := range targets {
		ch.Missed += t.missed
		if t.from == t.to {
			continue
		}
		cells := f.Rings[t.ring].Cells
		for u := t.from; u < t.to; u++ {
			c := &cells[u]
			if (t.ifColour >= 0 && int(c.Colour) != t.ifColour) || (t.ifSide >= 0 && int(c.Side) != t.ifSide) {
				continue
			}
			was := look{c.Colour, c.Side}
			if t.colour >= 0 {
				c.Colour = uint8(t.colour)
			}
			if t.side >= 0 {
				c.Side = Side(t.side)
			}
			now := look{c.Colour, c.Side}
			if was != now {
				back = extend(back, f.paintRun(p.Runs[i].Ring, u, now, was))
				ch.Paint = extend(ch.Paint, f.paintRun(p.Runs[i].Ring, u, was, now))
			}
		}
	}
	for i := range ch.Paint {
		ch.Paint[i].IfColour, ch.Paint[i].IfSide = "", ""
	}
	// Cells painted twice in one step are taken back in the opposite order.
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	return &Paint{Runs: back}, ch, nil
}

// paintRun is a run of one unit that changes from one look to another, naming only what changes.
func (f *Figure) paintRun(ring RingID, unit int, from, to look) PaintRun {
	r := PaintRun{Ring: ring, At: unit, N: 1}
	if from.colour != to.colour {
		r.Colour, r.IfColour = f.Colours[to.colour].ID, f.Colours[from.colour].ID
	}
	if from.side != to.side {
		r.Side, r.IfSide = to.side.String(), from.side.String()
	}
	return r
}

func extend(runs []PaintRun, next PaintRun) []PaintRun {
	if len(runs) > 0 {
		last := &runs[len(runs)-1]
		same := *last
		same.At, same.N = next.At, next.N
		if same == next && last.At+last.N == next.At {
			last.N++
			return runs
		}
	}
	return append(runs, next)
}

func sideIndex(s string) (int, bool) {
	switch s {
	case "":
		return -1, true
	case "long":
		return int(Long), true
	case "short":
		return int(Short), true
	}
	return -1, false
}

// ringFinder finds rings by identity: few of them one by one, many by a table.
func ringFinder(f *Figure, many int) func(RingID) (int, bool) {
	if many <= 8 {
		return f.RingIndex
	}
	table := ringNumbers(f)
	return func(id RingID) (int, bool) {
		i, ok := table[id]
		return i, ok
	}
}

func ringNumbers(f *Figure) map[RingID]int {
	m := make(map[RingID]int, len(f.Rings))
	for i := range f.Rings {
		m[f.Rings[i].ID] = i
	}
	return m
}

// Batch is several edits as one step: all are carried out, or none.
type Batch struct {
	Edits []Edit `json:"edits"`
}

func (*Batch) word() string { return "batch" }

// MarshalJSON writes the edits in the form of EncodeEdit.
func (b *Batch) MarshalJSON() ([]byte, error) {
	raw := make([]json.RawMessage, len(b.Edits))
	for i, e := range b.Edits {
		raw[i] = EncodeEdit(e)
	}
	return json.Marshal(map[string]any{"edits": raw})
}

func (b *Batch) decode(raw []byte, depth int, logged bool) error {
	var body struct {
		Edits []json.RawMessage `json:"edits"`
	}
	if err := strict(raw, &body); err != nil {
		return err
	}
	if len(body.Edits) == 0 || len(body.Edits) > MaxEdits {
		return refuse("edits", words.T("figure.edit.batch", "Count", len(body.Edits)), words.T("figure.edit.batch.fix", "Max", MaxEdits))
	}
	for _, r := range body.Edits {
		e, err := decodeEdit(r, depth+1, logged)
		if err != nil {
			return err
		}
		b.Edits = append(b.Edits, e)
	}
	return nil
}

func (b *Batch) label(f *Figure) words.Text {
	first := b.Edits[0].label(f)
	other := func(e Edit) bool { return !reflect.DeepEqual(e.label(f), first) }
	if !slices.ContainsFunc(b.Edits, other) {
		return first // one thing done to several that are called the same: an eye and its mirror image
	}
	return words.T("figure.did.batch", "Count", len(b.Edits))
}

func (b *Batch) apply(f *Figure) (Edit, Change, error) { return b.applyEach(f, Edit.apply) }

// applyEach carries out the edits one after the other, each by do; when one fails, none was.
func (b *Batch) applyEach(f *Figure, do func(Edit, *Figure) (Edit, Change, error)) (Edit, Change, error) {
	var ch Change
	back := &Batch{}
	saved := [3]int{int(f.NextRing), int(f.NextExtra), int(f.NextPart)}
	for _, e := range b.Edits {
		inverse, d, err := do(e, f)
		if err != nil {
			for _, undo := range back.Edits {
				if _, _, broken := undo.apply(f); broken != nil {
					panic("figure: an inverse that cannot be applied: " + broken.Error())
				}
			}
			f.NextRing, f.NextExtra, f.NextPart = RingID(saved[0]), ExtraID(saved[1]), PartID(saved[2])
			return nil, Change{}, err
		}
		back.Edits = append([]Edit{inverse}, back.Edits...)
		ch.add(d)
	}
	return back, ch, nil
}

// Keys are the identities of a figure's rings, extras and parts, in order, and the next free ones. They
// are kept beside the document, which does not carry them. Those of twins follow from the parts that they mirror.
type Keys struct {
	Rings     []RingID  `json:"rings"`
	Extras    []ExtraID `json:"extras"`
	NextRing  RingID    `json:"next_ring"`
	NextExtra ExtraID   `json:"next_extra"`
	Parts     []PartID  `json:"parts,omitempty"` // none in a figure of one part
	NextPart  PartID    `json:"next_part,omitempty"`
}

// Keys gives the identities of the figure.
func (f *Figure) Keys() Keys {
	k := Keys{NextRing: f.NextRing, NextExtra: f.NextExtra}
	for i := range f.Rings {
		if id := f.Rings[i].ID; id > 0 {
			k.Rings = append(k.Rings, id)
		}
	}
	for i := range f.Extras {
		if id := f.Extras[i].ID; id > 0 {
			k.Extras = append(k.Extras, id)
		}
	}
	if len(f.Parts) > 0 {
		k.NextPart = f.NextPart
		for i := range f.Parts {
			k.Parts = append(k.Parts, f.Parts[i].ID)
		}
	} else if f.NextPart > StandingPart+1 {
		k.NextPart = f.NextPart
	}
	return k
}

// maxIdentity is the greatest identity that a ring or extra may have: whole numbers up to it are exact in
// every reader of JSON (RFC 7493, I-JSON, section 2.2), and sums with it stay far from overflowing.
const maxIdentity = 1<<53 - 1

// SetKeys gives a figure that was just read its identities back. It refuses keys that do not fit.
func (f *Figure) SetKeys(k Keys) error {
	f.unmirror()
	defer f.mirror()
	seenRing, seenExtra, seenPart := map[RingID]bool{}, map[ExtraID]bool{}, map[PartID]bool{}
	fit := len(k.Rings) == len(f.Rings) && len(k.Extras) == len(f.Extras) && k.NextRing <= maxIdentity && k.NextExtra <= maxIdentity
	for _, id := range k.Rings {
		fit = fit && id >= 1 && id < k.NextRing && !seenRing[id]
		seenRing[id] = true
	}
	for _, id := range k.Extras {
		fit = fit && id >= 1 && id < k.NextExtra && !seenExtra[id]
		seenExtra[id] = true
	}
	fit = fit && len(k.Parts) == len(f.Parts) && k.NextPart <= maxIdentity && k.NextPart >= 0
	for i, id := range k.Parts {
		fit = fit && id >= 1 && id < k.NextPart && !seenPart[id] && (id == StandingPart) == (i == 0)
		seenPart[id] = true
	}
	if !fit {
		return refuse("keys", words.T("figure.keys"), words.T("figure.keys.fix"))
	}
	f.renameParts(k)
	for i, id := range k.Rings {
		f.Rings[i].ID = id
	}
	for i, id := range k.Extras {
		f.Extras[i].ID = id
	}
	f.NextRing, f.NextExtra = k.NextRing, k.NextExtra
	return nil
}

// Become puts a whole figure in place of another: an earlier version restored as a new step.
type Become struct {
	Document string `json:"document"`
	Keys     Keys   `json:"keys"`
}

func (*Become) word() string { return "become" }

func (*Become) label(*Figure) words.Text { return words.T("figure.did.become") }

func (b *Become) apply(f *Figure) (Edit, Change, error) {
	g, err := Read([]byte(b.Document))
	if err != nil {
		return nil, Change{}, err
	}
	if err := g.SetKeys(b.Keys); err != nil {
		return nil, Change{}, err
	}
	back := &Become{Document: string(f.Write()), Keys: f.Keys()}
	g.NextRing, g.NextExtra, g.NextPart = max(g.NextRing, f.NextRing), max(g.NextExtra, f.NextExtra), max(g.NextPart, f.NextPart)
	*f = *g
	return back, Change{Rings: f.Keys().Rings, Order: true, Parts: true, Colours: true, Extras: true, Front: true, Title: true, Unit: true}, nil
}
