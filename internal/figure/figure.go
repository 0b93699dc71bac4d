// Package figure is the model of a figure built ring upon ring from folded paper units: which units
// stand in which ring, which points of the ring below each one takes, and what else belongs to the
// figure. It reads and writes the figure document (contract: document version 1), knows where every
// unit sits on the unrolled grid, and applies edits that have exact inverses.
//
// The half-unit offset between rings is never stored: it follows from the points that the units
// take (common practice of the craft: a plain unit takes the right point of one unit and the left
// point of its neighbour, and so sits over the gap between them).
//
// The package knows nothing of HTTP, SQL or pages.
package figure

import "tuckring/internal/words"

// Limits of a figure document, from the contract.
const (
	MaxRings      = 1000
	MinUnits      = 3    // units in a ring
	MaxUnits      = 1000 // units in a ring
	MaxAllUnits   = 100_000
	MaxColours    = 64
	MaxExtras     = 500
	MaxBytes      = 4 << 20
	MinTakes      = 1
	MaxTakes      = 4
	PlainTakes    = 2
	MaxTitle      = 200  // characters (runes)
	MaxName       = 80   // characters of a colour's or extra's name
	MaxNote       = 1000 // characters of a note
	MaxUnitMM     = 2000.0
	MinUnitMM     = 1.0
	MaxExtraMM    = 1000.0
	MaxExtraUnits = 10_000
)

// Fold says how the unit is folded from its paper.
type Fold string

// The two folds in use. Doubled: the sheet is first folded in half along its length, h = short/2.
// Single: the strip stays one layer thick, h = short.
const (
	Doubled Fold = "doubled"
	Single  Fold = "single"
)

// Side is the edge of a unit that faces outwards.
type Side uint8

// A unit stands with its long side (the default) or its short side outwards.
const (
	Long Side = iota
	Short
)

func (s Side) String() string {
	if s == Short {
		return "short"
	}
	return "long"
}

// Unit is the piece of paper one unit is folded from, in mm, and its fold.
type Unit struct {
	LongMM, ShortMM float64
	Fold            Fold
}

// Colour is one paper of the figure. ID is unique in the figure and never shown; Hex is "#rrggbb"; Sign is one
// character of AllSigns, unique in the figure, or empty when nobody chose one (see Figure.Signs).
type Colour struct {
	ID, Name, Hex, Sign string
}

// RingID names a ring for as long as a design lives, whatever its number becomes. Documents do not
// carry it: reading one numbers the rings 1, 2, … from the bottom.
type RingID int

// ExtraID names an extra for as long as a design lives, like RingID.
type ExtraID int

// Cell is one unit in its ring.
type Cell struct {
	Colour uint8  // index into Figure.Colours
	Takes  uint8  // neighbouring points of the ring below, 1–4; 0 in ring 1
	Side   Side   // which side faces outwards
	Free   uint16 // points of the ring below left free just before this unit
}

// Ring is one closed circle of units, read to the right as seen from outside, from the seam.
type Ring struct {
	ID      RingID
	Start   int    // index of the first point the seam takes, 0 … 2n−1 of the ring below; 0 in ring 1
	Cells   []Cell // the units in order
	FreeEnd int    // points of the ring below left free after the last unit
	After   string // shaping note for the build sheet ("open out")
	Note    string // the maker's own note
}

// Kind says how an extra is fixed.
type Kind string

// Extras are units tucked in, or pieces glued on.
const (
	Tucked Kind = "tucked"
	Glued  Kind = "glued"
)

// Extra is whatever is not a ring: a wing, an ear, an eye disc.
type Extra struct {
	ID       ExtraID
	Kind     Kind
	Name     string
	Colour   string  // colour ID; may be empty for a glued piece that is not cut from the figure's paper
	Units    int     // tucked: units used
	Ring     int     // ring number, from 1
	At       float64 // place in units from the seam of that ring, halves allowed
	Shaping  string  // how to shape it, for the build sheet
	Outline  Outline // glued: its outline
	Diameter float64 // glued, disc: mm
	Width    float64 // glued, other outlines: mm
	Height   float64 // glued, other outlines: mm
}

// RingIndex gives the ring that the extra is fixed to, from 0.
func (e *Extra) RingIndex() int { return e.Ring - 1 }

// Outline is the simple shape of a glued piece.
type Outline string

// Outlines a glued piece can have. Disc is the default.
const (
	Disc     Outline = "disc"
	Oval     Outline = "oval"
	Triangle Outline = "triangle"
	Bar      Outline = "bar"
)

// Figure is a whole figure: ring 1, the bottom one, is Rings[0]. Rings holds the rows of all parts, one part after another, so
// that whoever counts them all counts the figure.
type Figure struct {
	Title   string
	Unit    Unit
	Colours []Colour
	Rings   []Ring
	Parts   []Part  // two or more; none when all rings are one part
	Front   float64 // place around ring 1, in units from the seam; 0 = middle of unit 0
	Extras  []Extra

	// NextRing, NextExtra and NextPart are the identities that the next new ring, extra and part get; 0 is StandingPart+1 for
	// the last. An identity is never used again, so that an undo can bring back exactly what was removed.
	NextRing  RingID
	NextExtra ExtraID
	NextPart  PartID
}

// Units counts the units in all rings.
func (f *Figure) Units() int {
	n := 0
	for i := range f.Rings {
		n += len(f.Rings[i].Cells)
	}
	return n
}

// ColourIndex finds a colour by its ID; ok is false when the figure has none of that ID.
func (f *Figure) ColourIndex(id string) (index int, ok bool) {
	for i, c := range f.Colours {
		if c.ID == id {
			return i, true
		}
	}
	return 0, false
}

// RingIndex finds a ring by its identity; ok is false when it is gone.
func (f *Figure) RingIndex(id RingID) (index int, ok bool) {
	for i := range f.Rings {
		if f.Rings[i].ID == id {
			return i, true
		}
	}
	return 0, false
}

// Clone copies a figure so deeply that neither can change the other.
func (f *Figure) Clone() *Figure {
	g := *f
	g.Colours = append([]Colour(nil), f.Colours...)
	g.Extras = append([]Extra(nil), f.Extras...)
	g.Parts = cloneParts(f.Parts)
	g.Rings = make([]Ring, len(f.Rings))
	for i := range f.Rings {
		g.Rings[i] = f.Rings[i].Clone()
	}
	return &g
}

// Clone copies a ring with its units.
func (r Ring) Clone() Ring {
	r.Cells = append([]Cell(nil), r.Cells...)
	return r
}

// Points counts what the ring uses of the ring below: points taken and points left free.
func (r *Ring) Points() (taken, free int) {
	free = r.FreeEnd
	for _, c := range r.Cells {
		taken += int(c.Takes)
		free += int(c.Free)
	}
	return taken, free
}

// Fault is one broken rule: where in the document (rings[3].runs[0].takes), what was found there,
// and what is allowed.
type Fault struct {
	Where string
	Ring  int // ring number it concerns, 0 for none
	What  words.Text
	Fix   words.Text
	Rest  int // of the last of a cut list: it stands for so many more faults; 0 for a fault of its own
}

func (f Fault) Error() string {
	if f.Where == "" {
		return f.What.String() + " " + f.Fix.String()
	}
	return f.Where + ": " + f.What.String() + " " + f.Fix.String()
}

// MaxFaults is how many faults of a document are listed; further ones are counted.
const MaxFaults = 100

// Faults is every fault of a document, in the order of the document; of more than MaxFaults the first so
// many, and a last entry that tells how many more there are. It is an error when not empty.
type Faults []Fault

// Count is how many faults were found, those that are not listed among them.
func (fs Faults) Count() int {
	n := len(fs)
	if n > 0 && fs[n-1].Rest > 0 {
		n += fs[n-1].Rest - 1
	}
	return n
}

func (fs Faults) Error() string {
	s := ""
	for i, f := range fs {
		if i > 0 {
			s += "\n"
		}
		s += f.Error()
	}
	return s
}
