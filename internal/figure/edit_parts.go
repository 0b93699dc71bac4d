package figure

import (
	"strconv"
	"strings"

	"tuckring/internal/words"
)

// SetTitle gives the figure another title.
type SetTitle struct {
	Title string `json:"title"`
}

func (*SetTitle) word() string { return "set_title" }

func (e *SetTitle) label(*Figure) words.Text { return words.T("figure.did.title", "Title", e.Title) }

func (e *SetTitle) apply(f *Figure) (Edit, Change, error) {
	if what, fix, bad := TextFault(e.Title, MaxTitle, true); bad {
		return nil, Change{}, refuse("title", what, fix)
	}
	back := &SetTitle{Title: f.Title}
	changed := f.Title != e.Title
	f.Title = e.Title
	return back, Change{Title: changed}, nil
}

// SetUnit changes the paper that a unit is folded from, or its fold.
type SetUnit struct {
	LongMM  float64 `json:"long_mm"`
	ShortMM float64 `json:"short_mm"`
	Fold    Fold    `json:"fold"`
}

func (*SetUnit) word() string { return "set_unit" }

func (e *SetUnit) label(*Figure) words.Text {
	return words.T("figure.did.unit", "Long", shortest(e.LongMM), "Short", shortest(e.ShortMM))
}

func (e *SetUnit) apply(f *Figure) (Edit, Change, error) {
	u := Unit{e.LongMM, e.ShortMM, e.Fold}
	if faults := u.Validate(); faults != nil {
		return nil, Change{}, faults
	}
	back := &SetUnit{f.Unit.LongMM, f.Unit.ShortMM, f.Unit.Fold}
	changed := f.Unit != u
	f.Unit = u
	return back, Change{Unit: changed}, nil
}

// Validate checks a unit's paper against the rules of the document. Whether it folds well is
// another question (package fold).
func (u Unit) Validate() Faults {
	var fs Faults
	for _, l := range []struct {
		where string
		mm    float64
	}{{"unit.long_mm", u.LongMM}, {"unit.short_mm", u.ShortMM}} {
		if !(l.mm >= MinUnitMM && l.mm <= MaxUnitMM) {
			fs = append(fs, Fault{Where: l.where, What: words.T("figure.number", "Found", shortest(l.mm)),
				Fix: words.T("figure.number.fix", "Low", shortest(MinUnitMM), "High", shortest(MaxUnitMM))})
		}
	}
	if len(fs) == 0 && u.SidesSwapped() {
		fs = append(fs, Fault{Where: "unit.long_mm", What: words.T("figure.long_short", "Long", shortest(u.LongMM), "Short", shortest(u.ShortMM)), Fix: words.T("figure.long_short.fix")})
	}
	if !u.Fold.Known() {
		fs = append(fs, Fault{Where: "unit.fold", What: words.T("figure.choice", "Found", clip(string(u.Fold))), Fix: words.T("figure.choice.fix", "Allowed", "doubled, single")})
	}
	return fs
}

// SetFront moves the front line: a place around ring 1 in units from the seam, halves allowed.
type SetFront struct {
	Front float64 `json:"front"`
}

func (*SetFront) word() string { return "set_front" }

func (e *SetFront) label(*Figure) words.Text { return words.T("figure.did.front") }

func (e *SetFront) apply(f *Figure) (Edit, Change, error) {
	if err := placeFault("front", e.Front, len(f.Rings[0].Cells)); err != nil {
		return nil, Change{}, err
	}
	back := &SetFront{f.Front}
	changed := f.Front != e.Front
	f.Front = e.Front
	return back, Change{Front: changed}, nil
}

// placeFault checks a place in a ring of n units; it returns nil when it is fine.
func placeFault(where string, at float64, n int) error {
	if !(at >= 0 && at <= float64(n)-0.5) {
		return refuse(where, words.T("figure.number", "Found", shortest(at)), words.T("figure.number.fix", "Low", "0", "High", shortest(float64(n)-0.5)))
	}
	if at*2 != float64(int(at*2)) {
		return refuse(where, words.T("figure.number", "Found", shortest(at)), words.T("figure.half.fix"))
	}
	return nil
}

// RingNote sets the shaping note and the maker's note of a ring.
type RingNote struct {
	Ring  RingID `json:"ring"`
	After string `json:"after"`
	Note  string `json:"note"`
}

func (*RingNote) word() string { return "ring_note" }

func (e *RingNote) label(f *Figure) words.Text {
	i, _ := f.RingIndex(e.Ring)
	return words.T("figure.did.note", "Ring", f.RowName(i))
}

func (e *RingNote) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.RingIndex(e.Ring)
	if !ok {
		return nil, Change{}, refuse("ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	for _, note := range []struct{ where, text string }{{"after", e.After}, {"note", e.Note}} {
		if what, fix, bad := TextFault(note.text, MaxNote, false); bad {
			return nil, Change{}, refuse(note.where, what, fix)
		}
	}
	r := &f.Rings[i]
	back := &RingNote{e.Ring, r.After, r.Note}
	if r.After == e.After && r.Note == e.Note {
		return back, Change{}, nil
	}
	r.After, r.Note = e.After, e.Note
	return back, Change{Rings: []RingID{e.Ring}}, nil
}

// AddColour adds a paper to the figure. Without an ID one is made from the name; without an index
// it comes last. Without a sign it gets one by itself.
type AddColour struct {
	ID    string `json:"id,omitempty"`
	Name  string `json:"name"`
	Hex   string `json:"hex"`
	Sign  string `json:"sign,omitempty"`
	Index *int   `json:"index,omitempty"`
}

func (*AddColour) word() string { return "add_colour" }

func (e *AddColour) label(*Figure) words.Text {
	return words.T("figure.did.add_colour", "Name", e.Name)
}

func (e *AddColour) apply(f *Figure) (Edit, Change, error) {
	if err := colourFault(e.Name, e.Hex); err != nil {
		return nil, Change{}, err
	}
	if len(f.Colours) >= MaxColours {
		return nil, Change{}, refuse("colours", words.T("figure.colours.count", "Count", len(f.Colours)+1), words.T("figure.colours.count.fix", "Max", MaxColours))
	}
	id := e.ID
	if id == "" {
		id = f.freshColourID(e.Name)
	} else if what, fix, bad := TextFault(id, MaxName, true); bad {
		return nil, Change{}, refuse("id", what, fix)
	}
	if _, twice := f.ColourIndex(id); twice {
		return nil, Change{}, refuse("id", words.T("figure.colours.twice", "ID", id), words.T("figure.colours.twice.fix"))
	}
	if err := f.signFault(e.Sign, id, e.Name); err != nil {
		return nil, Change{}, err
	}
	at := len(f.Colours)
	if e.Index != nil {
		at = min(max(*e.Index, 0), at)
	}
	colours := append([]Colour(nil), f.Colours[:at]...)
	colours = append(colours, Colour{ID: id, Name: e.Name, Hex: e.Hex, Sign: e.Sign})
	ch := Change{Colours: true}
	if at < len(f.Colours) {
		ch.Rings = f.recolour(func(c uint8) uint8 {
			if int(c) >= at {
				return c + 1
			}
			return c
		})
	}
	f.Colours = append(colours, f.Colours[at:]...)
	return &RemoveColour{ID: id}, ch, nil
}

// recolour changes the palette index of every unit and gives the rings in which one changed.
func (f *Figure) recolour(to func(uint8) uint8) []RingID {
	var changed []RingID
	for i := range f.Rings {
		hit := false
		for k, c := range f.Rings[i].Cells {
			if n := to(c.Colour); n != c.Colour {
				f.Rings[i].Cells[k].Colour = n
				hit = true
			}
		}
		if hit {
			changed = append(changed, f.Rings[i].ID)
		}
	}
	return changed
}

func colourFault(name, hex string) error {
	if what, fix, bad := TextFault(name, MaxName, true); bad {
		return refuse("name", what, fix)
	}
	if what, fix, bad := HexFault(hex); bad {
		return refuse("hex", what, fix)
	}
	return nil
}

func (f *Figure) freshColourID(name string) string {
	return freshID(name, "paper", func(id string) bool {
		_, taken := f.ColourIndex(id)
		return taken
	})
}

// freshID makes an id of a name, of letters and digits, that is not taken yet; a name without any gets the plain one.
func freshID(name, plain string, taken func(id string) bool) string {
	var b strings.Builder
	for _, c := range strings.ToLower(name) {
		switch {
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9':
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 30 {
			break
		}
	}
	base := strings.Trim(b.String(), "-")
	if base == "" {
		base = plain
	}
	id := base
	for n := 2; taken(id); n++ {
		id = base + "-" + strconv.Itoa(n)
	}
	return id
}

// EditColour changes the name and value of a paper, and its sign: nil leaves the sign as it is, as all edits did
// before signs could be chosen; an empty one lets the paper get its sign by itself.
type EditColour struct {
	ID   string  `json:"id"`
	Name string  `json:"name"`
	Hex  string  `json:"hex"`
	Sign *string `json:"sign,omitempty"`
}

func (*EditColour) word() string { return "edit_colour" }

func (e *EditColour) label(*Figure) words.Text {
	return words.T("figure.did.edit_colour", "Name", e.Name)
}

func (e *EditColour) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.ColourIndex(e.ID)
	if !ok {
		return nil, Change{}, refuse("id", words.T("figure.no_colour", "ID", clip(e.ID)), words.T("figure.no_colour.fix"))
	}
	if err := colourFault(e.Name, e.Hex); err != nil {
		return nil, Change{}, err
	}
	old := f.Colours[i]
	back := &EditColour{ID: e.ID, Name: old.Name, Hex: old.Hex}
	now := Colour{ID: e.ID, Name: e.Name, Hex: e.Hex, Sign: old.Sign}
	if e.Sign != nil {
		if err := f.signFault(*e.Sign, e.ID, e.Name); err != nil {
			return nil, Change{}, err
		}
		now.Sign, back.Sign = *e.Sign, &old.Sign
	}
	f.Colours[i] = now
	return back, Change{Colours: old != now}, nil
}

// RemoveColour takes a paper out of the figure. Units and extras that have it get the colour
// Replace; without Replace a colour in use is refused.
type RemoveColour struct {
	ID      string `json:"id"`
	Replace string `json:"replace,omitempty"`
}

func (*RemoveColour) word() string { return "remove_colour" }

func (e *RemoveColour) label(f *Figure) words.Text {
	name, to := e.ID, e.Replace
	if i, ok := f.ColourIndex(e.ID); ok {
		name = f.Colours[i].Name
	}
	if i, ok := f.ColourIndex(to); ok {
		return words.T("figure.did.merge_colour", "Name", name, "Into", f.Colours[i].Name)
	}
	return words.T("figure.did.remove_colour", "Name", name)
}

func (e *RemoveColour) apply(f *Figure) (Edit, Change, error) {
	gone, ok := f.ColourIndex(e.ID)
	if !ok {
		return nil, Change{}, refuse("id", words.T("figure.no_colour", "ID", clip(e.ID)), words.T("figure.no_colour.fix"))
	}
	if len(f.Colours) == 1 {
		return nil, Change{}, refuse("id", words.T("figure.last_colour"), words.T("figure.last_colour.fix"))
	}
	into, used := -1, f.colourUse(gone)
	if e.Replace != "" || used > 0 {
		into, ok = f.ColourIndex(e.Replace)
		if !ok || into == gone {
			return nil, Change{}, refuse("replace", words.T("figure.colour_in_use", "Name", f.Colours[gone].Name, "Count", used), words.T("figure.colour_in_use.fix"))
		}
	}
	old := f.Colours[gone]
	back := &Batch{Edits: []Edit{&AddColour{ID: old.ID, Name: old.Name, Hex: old.Hex, Sign: old.Sign, Index: &gone}}}
	paint := &Paint{}
	for i := range f.Rings {
		for u, c := range f.Rings[i].Cells {
			if int(c.Colour) == gone {
				paint.Runs = extend(paint.Runs, PaintRun{Ring: f.Rings[i].ID, At: u, N: 1, Colour: old.ID, IfColour: e.Replace})
			}
		}
	}
	if len(paint.Runs) > 0 {
		back.Edits = append(back.Edits, paint)
	}
	ch := Change{Colours: true}
	for i := range f.Extras {
		if f.Extras[i].Colour == old.ID {
			back.Edits = append(back.Edits, &EditExtra{Extra: f.ExtraState(&f.Extras[i])})
			f.Extras[i].Colour = e.Replace
			ch.Extras = true
		}
	}
	ch.Rings = f.recolour(func(c uint8) uint8 {
		if int(c) == gone {
			c = uint8(into)
		}
		if int(c) > gone {
			c--
		}
		return c
	})
	f.Colours = append(append([]Colour(nil), f.Colours[:gone]...), f.Colours[gone+1:]...)
	return back, ch, nil
}

// colourUse counts the units in rings and the extras of one colour.
func (f *Figure) colourUse(index int) int {
	n := 0
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			if int(c.Colour) == index {
				n++
			}
		}
	}
	for i := range f.Extras {
		if f.Extras[i].Colour == f.Colours[index].ID {
			n += max(1, f.Extras[i].Units)
		}
	}
	return n
}

// OrderColours puts the papers in another order. IDs must name each of them once.
type OrderColours struct {
	IDs []string `json:"ids"`
}

func (*OrderColours) word() string { return "order_colours" }

func (*OrderColours) label(*Figure) words.Text { return words.T("figure.did.order_colours") }

func (e *OrderColours) apply(f *Figure) (Edit, Change, error) {
	to := make([]uint8, len(f.Colours))
	seen := make([]bool, len(f.Colours))
	colours := make([]Colour, 0, len(f.Colours))
	back := &OrderColours{}
	for _, c := range f.Colours {
		back.IDs = append(back.IDs, c.ID)
	}
	for n, id := range e.IDs {
		i, ok := f.ColourIndex(id)
		if !ok || seen[i] {
			return nil, Change{}, refuse("ids["+strconv.Itoa(n)+"]", words.T("figure.order", "ID", clip(id)), words.T("figure.order.fix"))
		}
		seen[i] = true
		to[i] = uint8(n)
		colours = append(colours, f.Colours[i])
	}
	if len(colours) != len(f.Colours) {
		return nil, Change{}, refuse("ids", words.T("figure.order.missing", "Count", len(f.Colours)-len(colours)), words.T("figure.order.fix"))
	}
	ch := Change{Colours: true, Rings: f.recolour(func(c uint8) uint8 { return to[c] })}
	f.Colours = colours
	return back, ch, nil
}

// ExtraState is an extra as edits and the browser know it: its own key, and the identity of its ring.
type ExtraState struct {
	Key      ExtraID `json:"key,omitempty"`
	Kind     Kind    `json:"kind"`
	Name     string  `json:"name"`
	Colour   string  `json:"colour,omitempty"`
	Units    int     `json:"units,omitempty"`
	Ring     RingID  `json:"ring"`
	At       float64 `json:"at"`
	Shaping  string  `json:"shaping,omitempty"`
	Outline  Outline `json:"outline,omitempty"`
	Diameter float64 `json:"diameter_mm,omitempty"`
	Width    float64 `json:"width_mm,omitempty"`
	Height   float64 `json:"height_mm,omitempty"`
}

// ExtraState gives an extra of the figure in the form of edits.
func (f *Figure) ExtraState(e *Extra) ExtraState {
	return ExtraState{Key: e.ID, Kind: e.Kind, Name: e.Name, Colour: e.Colour, Units: e.Units, Ring: f.Rings[e.RingIndex()].ID, At: e.At,
		Shaping: e.Shaping, Outline: e.Outline, Diameter: e.Diameter, Width: e.Width, Height: e.Height}
}

// extra turns a state into an extra, checking it against the rules of the document.
func (f *Figure) extra(s ExtraState) (Extra, error) {
	i, ok := f.RingIndex(s.Ring)
	if !ok {
		return Extra{}, refuse("extra.ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	if s.Kind == Glued && s.Outline == "" {
		s.Outline = Disc
	}
	e := Extra{ID: s.Key, Kind: s.Kind, Name: s.Name, Colour: s.Colour, Units: s.Units, Ring: i + 1, At: s.At,
		Shaping: s.Shaping, Outline: s.Outline, Diameter: s.Diameter, Width: s.Width, Height: s.Height}
	probe := *f
	probe.Extras = []Extra{e}
	// A document of this one extra is checked by the same reader as every document.
	probe.Rings = f.Rings[:1:1]
	if i > 0 {
		probe.Rings = []Ring{{Cells: make([]Cell, max(len(f.Rings[i].Cells), MinUnits))}}
		probe.Front = 0
	}
	probe.Parts = nil
	probe.Extras[0].Ring = 1
	if err := f.placeOnRow("extra.at", s.At, i); err != nil && f.Open(i) {
		return Extra{}, err
	}
	if e.Kind == Glued && e.Units != 0 {
		return Extra{}, refuse("extra.units", words.T("figure.unknown_field", "Name", "units"), words.T("figure.unknown_field.fix", "Names", "name, diameter_mm"))
	}
	if e.Kind == Tucked && (e.Outline != "" || e.Diameter != 0 || e.Width != 0 || e.Height != 0) {
		return Extra{}, refuse("extra.outline", words.T("figure.unknown_field", "Name", "outline"), words.T("figure.unknown_field.fix", "Names", "name, colour, units"))
	}
	if faults := probe.Validate(); faults != nil {
		for k := range faults {
			faults[k].Where = strings.Replace(faults[k].Where, "extras[0]", "extra", 1)
		}
		return Extra{}, faults
	}
	return e, nil
}

// AddExtra adds an extra. Without a key it gets a new one; with one it is an extra that was
// removed coming back. Index is its place in the list, last without.
type AddExtra struct {
	Extra ExtraState `json:"extra"`
	Index *int       `json:"index,omitempty"`
}

func (*AddExtra) word() string { return "add_extra" }

func (e *AddExtra) label(*Figure) words.Text {
	return words.T("figure.did.add_extra", "Name", e.Extra.Name)
}

func (e *AddExtra) apply(f *Figure) (Edit, Change, error) {
	if len(f.Extras) >= MaxExtras {
		return nil, Change{}, refuse("extra", words.T("figure.extras.count", "Count", len(f.Extras)+1), words.T("figure.extras.count.fix", "Max", MaxExtras))
	}
	x, err := f.extra(e.Extra)
	if err != nil {
		return nil, Change{}, err
	}
	if x.ID == 0 && f.NextExtra >= maxIdentity {
		return nil, Change{}, refuse("extra", words.T("figure.identities"), words.T("figure.identities.fix"))
	}
	if x.ID == 0 {
		x.ID = f.NextExtra
	} else if _, there := f.extraIndex(x.ID); there || x.ID >= f.NextExtra || x.ID < 0 {
		return nil, Change{}, refuse("extra.key", words.T("figure.extra_key"), words.T("figure.extra_key.fix"))
	}
	if total := f.Units() + f.extraUnits() + x.Units; total > MaxAllUnits {
		return nil, Change{}, refuse("extra.units", words.T("figure.too_many_units", "Found", total), words.T("figure.too_many_units.fix", "Max", MaxAllUnits))
	}
	f.NextExtra = max(f.NextExtra, x.ID+1)
	at := len(f.Extras)
	if e.Index != nil {
		at = min(max(*e.Index, 0), at)
	}
	extras := append(append([]Extra(nil), f.Extras[:at]...), x)
	f.Extras = append(extras, f.Extras[at:]...)
	return &RemoveExtra{Key: x.ID}, Change{Extras: true}, nil
}

func (f *Figure) extraIndex(id ExtraID) (int, bool) {
	for i := range f.Extras {
		if f.Extras[i].ID == id {
			return i, true
		}
	}
	return 0, false
}

// EditExtra changes an extra: all of it but its key.
type EditExtra struct {
	Extra ExtraState `json:"extra"`
}

func (*EditExtra) word() string { return "edit_extra" }

func (e *EditExtra) label(*Figure) words.Text {
	return words.T("figure.did.edit_extra", "Name", e.Extra.Name)
}

func (e *EditExtra) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.extraIndex(e.Extra.Key)
	if !ok {
		return nil, Change{}, refuse("extra.key", words.T("figure.no_extra"), words.T("figure.no_extra.fix"))
	}
	x, err := f.extra(e.Extra)
	if err != nil {
		return nil, Change{}, err
	}
	if total := f.Units() + f.extraUnits() + x.Units - f.Extras[i].Units; total > MaxAllUnits {
		return nil, Change{}, refuse("extra.units", words.T("figure.too_many_units", "Found", total), words.T("figure.too_many_units.fix", "Max", MaxAllUnits))
	}
	back := &EditExtra{Extra: f.ExtraState(&f.Extras[i])}
	changed := f.Extras[i] != x
	f.Extras[i] = x
	return back, Change{Extras: changed}, nil
}

// RemoveExtra takes an extra off.
type RemoveExtra struct {
	Key ExtraID `json:"key"`
}

func (*RemoveExtra) word() string { return "remove_extra" }

func (e *RemoveExtra) label(f *Figure) words.Text {
	name := ""
	if i, ok := f.extraIndex(e.Key); ok {
		name = f.Extras[i].Name
	}
	return words.T("figure.did.remove_extra", "Name", name)
}

func (e *RemoveExtra) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.extraIndex(e.Key)
	if !ok {
		return nil, Change{}, refuse("key", words.T("figure.no_extra"), words.T("figure.no_extra.fix"))
	}
	back := &AddExtra{Extra: f.ExtraState(&f.Extras[i]), Index: &i}
	f.Extras = append(append([]Extra(nil), f.Extras[:i]...), f.Extras[i+1:]...)
	return back, Change{Extras: true}, nil
}
