package figure

import (
	"slices"
	"sort"
	"strconv"

	"tuckring/internal/words"
)

// Limits of figures of several parts, from the contract. All other limits hold over all parts together.
const (
	MaxParts   = 64
	MinBend    = -45.0 // degrees against the row below
	MaxBend    = 45.0
	MinTilt    = -180.0
	MaxTilt    = 180.0
	MinOpenRow = 1 // units
)

// PartID names a part for as long as a design lives, like RingID. The part that stands on the table has StandingPart.
type PartID int

// StandingPart is the identity of the first part, the one that stands on the table.
const StandingPart PartID = 1

// Part is one part of a figure. Its rows stand together in Figure.Rings, from the first up, parts one after another in
// the order of building: what carries stands before what it carries.
type Part struct {
	ID    PartID
	Code  string // what documents call it by ("wing"), unique in the figure
	Name  string
	First int  // index of its first row in Figure.Rings
	Rows  int  // how many rows it has
	Open  bool // its rows are open, side by side in a line; else they close to circles, of a part that grows from the second on

	// Where it stands: one of Grows and Set says so, neither for the first part, which stands on the table.
	Grows RingID // the row that its first row takes points of, from that row's Start on; 0 for none
	Set   *Setting
	// Twin is the part whose mirror image this one is, 0 for none. All else of a twin but its names follows from that part,
	// its rows and their identities (those of the part, negative) too: see mirror.go.
	Twin PartID

	Front float64 // of a closed part but the first, whose front is Figure.Front: like that one
	Bend  []Bend
}

// How says how a part that is made by itself is put on.
type How string

// Parts that are set on are glued or pushed on.
const (
	GluedOn  How = "glued"
	PushedOn How = "pushed"
)

// Setting says where a part that is made by itself is set on.
type Setting struct {
	On      RingID  `json:"on"`
	Centred bool    `json:"centred,omitempty"` // on the axis of the part it stands on; At is 0 then
	At      float64 `json:"at,omitempty"`      // place in units from the seam of that row, halves allowed
	How     How     `json:"how" oneof:"glued,pushed"`
	Tilt    float64 `json:"tilt,omitempty"` // degrees, outwards
}

// Bend turns so many rows of a part, from the one after the bend before on, each against the row below. Where the part has
// fewer rows, so many as there are.
type Bend struct {
	Rows  int     `json:"rows"`
	Out   float64 `json:"out,omitempty"`   // degrees away from the wall, negative inwards
	Right float64 `json:"right,omitempty"` // degrees sideways, to the right as seen from outside
}

// pile is rows of units and how they belong to parts: a figure's own, or new ones in the making. No parts are one, of
// all rows, on the table.
type pile struct {
	rings []Ring
	parts []Part
}

func (f *Figure) pile() pile { return pile{f.Rings, f.Parts} }

// part finds the part that a row belongs to; nil when there is only one.
func (p pile) part(row int) *Part {
	if len(p.parts) == 0 {
		return nil
	}
	after := sort.Search(len(p.parts), func(i int) bool { return p.parts[i].First > row })
	return &p.parts[max(after-1, 0)]
}

// number gives a row's number in its part, from 1.
func (p pile) number(row int) int {
	if part := p.part(row); part != nil {
		return row - part.First + 1
	}
	return row + 1
}

// indexOf finds a row by identity.
func (p pile) indexOf(id RingID) (row int, ok bool) {
	row = slices.IndexFunc(p.rings, func(r Ring) bool { return r.ID == id })
	return row, row >= 0
}

// PartOf gives the index of the part that a row belongs to, 0 in a figure of one part.
func (f *Figure) PartOf(row int) int {
	if part := f.pile().part(row); part != nil {
		return slices.IndexFunc(f.Parts, func(p Part) bool { return p.ID == part.ID })
	}
	return 0
}

// PartIndex finds a part by its identity; ok is false when the figure has none of it.
func (f *Figure) PartIndex(id PartID) (index int, ok bool) {
	index = slices.IndexFunc(f.Parts, func(p Part) bool { return p.ID == id })
	return index, index >= 0
}

// RowNumber gives the number of a row (from 0) in its part, from 1, as people count.
func (f *Figure) RowNumber(row int) int { return f.pile().number(row) }

// RowName is what a sentence calls a row by after the word "ring": its number, and in a figure of several parts the part's
// name too.
func (f *Figure) RowName(row int) any { return f.pile().name(row) }

// RowWhere is the place of a row (from 0) in the document.
func (f *Figure) RowWhere(row int) string { return f.pile().where(row) }

// Open says whether a row (from 0) is open: its units stand in a line, and so do the points they offer. The units of
// a part that closes are neighbours all around, those of its first row too.
func (f *Figure) Open(row int) bool { return f.pile().open(row) }

func (p pile) open(row int) bool {
	part := p.part(row)
	return part != nil && part.Open
}

// least is how few units a row may have: a ring MinUnits, an open row MinOpenRow.
func (p pile) least(row int) int {
	if p.open(row) {
		return MinOpenRow
	}
	return MinUnits
}

// name is what a sentence calls a row by after the word "ring": see Figure.RowName.
func (p pile) name(row int) any {
	part := p.part(row)
	if part == nil {
		return row + 1
	}
	return words.T("figure.row_of", "Ring", row-part.First+1, "Part", part.Name)
}

// nameUpon is what a row is called that comes to stand on a row.
func (p pile) nameUpon(row int) any {
	part := p.part(row)
	if part == nil {
		return row + 2
	}
	return words.T("figure.row_of", "Ring", row-part.First+2, "Part", part.Name)
}

// opens says whether a row leaves points free between its units; what an open row leaves beside its ends is no opening.
func (p pile) opens(row int) bool {
	r := &p.rings[row]
	if !p.open(row) {
		_, free := r.Points()
		return free > 0
	}
	return slices.ContainsFunc(r.Cells[1:], func(c Cell) bool { return c.Free > 0 })
}

// where is the place of a row in the document.
func (p pile) where(row int) string {
	part := p.part(row)
	if part == nil {
		return "rings[" + strconv.Itoa(row) + "]"
	}
	index := slices.IndexFunc(p.parts, func(q Part) bool { return q.ID == part.ID })
	list := "rings"
	if part.Open {
		list = "rows"
	}
	return "parts[" + strconv.Itoa(index) + "]." + list + "[" + strconv.Itoa(row-part.First) + "]"
}

// carried checks that what every part stands on is there still.
func (p pile) carried() error {
	for i := range p.parts {
		part := &p.parts[i]
		if part.Twin != 0 {
			continue // made anew after every edit
		}
		if part.Rows == 0 {
			return refuse("rings", words.T("figure.last_row", "Part", part.Name), words.T("figure.last_row.fix"))
		}
		on := part.on()
		if on == 0 {
			continue
		}
		if _, ok := p.indexOf(on); !ok {
			return refuse("rings", words.T("figure.row_carries", "Part", part.Name), words.T("figure.row_carries.fix"))
		}
	}
	return nil
}

// top is the uppermost row of the part that stands on the table.
func (p pile) top() int {
	if len(p.parts) > 0 {
		return p.parts[0].Rows - 1
	}
	return len(p.rings) - 1
}

// on is the row that a part grows on or is set on, 0 for the part on the table.
func (p *Part) on() RingID {
	if p.Set != nil {
		return p.Set.On
	}
	return p.Grows
}

// grown says that a part grows from points of another.
func (p *Part) grown() bool { return p.Grows != 0 }

// renameParts gives the parts the identities of keys, and what names rows and parts by theirs the new names. Rings still have
// those of before.
func (f *Figure) renameParts(k Keys) {
	if f.NextPart = k.NextPart; len(f.Parts) == 0 {
		return
	}
	rows := map[RingID]RingID{0: 0}
	for i := range f.Rings {
		rows[f.Rings[i].ID] = k.Rings[i]
	}
	parts := map[PartID]PartID{0: 0}
	for i := range f.Parts {
		parts[f.Parts[i].ID] = k.Parts[i]
	}
	for i := range f.Parts {
		part := &f.Parts[i]
		part.ID, part.Twin, part.Grows = parts[part.ID], parts[part.Twin], rows[part.Grows]
		if part.Set != nil {
			part.Set.On = rows[part.Set.On]
		}
	}
}

// layParts works out where the parts' rows begin.
func layParts(parts []Part) {
	first := 0
	for i := range parts {
		parts[i].First = first
		first += parts[i].Rows
	}
}

// Clone copies a part so deeply that neither can change the other.
func (p Part) Clone() Part {
	if p.Set != nil {
		set := *p.Set
		p.Set = &set
	}
	p.Bend = slices.Clone(p.Bend)
	return p
}

func cloneParts(parts []Part) []Part {
	if parts == nil {
		return nil
	}
	out := make([]Part, len(parts))
	for i := range parts {
		out[i] = parts[i].Clone()
	}
	return out
}
