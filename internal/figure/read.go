package figure

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckring/internal/words"
)

// Version is the newest version of the figure document that this package reads. Figures of one part are written as version 1,
// those of several as version 2.
const Version = 2

// partsVersion is the version from which documents have parts.
const partsVersion = 2

// Read reads a figure document of any version up to Version. A document that breaks a rule is refused whole: the
// error is then a Faults with every fault found, each naming its place, what stands there and what
// is allowed. Rings and extras are given the identities 1, 2, … in document order.
func Read(data []byte) (*Figure, error) {
	root, bad := parse(data)
	if bad != nil {
		return nil, Faults{*bad}
	}
	r := &reader{}
	f := r.document(root)
	if faults := r.told(); len(faults) > 0 {
		return nil, faults
	}
	return f, nil
}

// Validate reports every rule of the document that the figure breaks, nil when it keeps them all.
func (f *Figure) Validate() Faults {
	if _, err := Read(f.Write()); err != nil {
		return err.(Faults)
	}
	return nil
}

type reader struct {
	faults Faults // the first MaxFaults
	found  int    // how many there are
	colour map[string]int
}

func (r *reader) bad(where string, what, fix words.Text) {
	r.note(Fault{Where: where, What: what, Fix: fix})
}

func (r *reader) badRing(ring int, where string, what, fix words.Text) {
	r.note(Fault{Where: where, Ring: ring, What: what, Fix: fix})
}

func (r *reader) note(f Fault) {
	if r.found++; r.found <= MaxFaults {
		f.Where = clipWhere(f.Where)
		r.faults = append(r.faults, f)
	}
}

// told are the faults found, at most MaxFaults and one that stands for the rest.
func (r *reader) told() Faults {
	rest := r.found - MaxFaults
	if rest <= 0 {
		return r.faults
	}
	return append(r.faults, Fault{Rest: rest, What: words.T("figure.more_faults", "Count", rest), Fix: words.T("figure.more_faults.fix")})
}

// clipWhere keeps a place short enough to be shown: names of unknown fields stand in it.
func clipWhere(where string) string {
	if utf8.RuneCountInString(where) > 200 {
		return string([]rune(where)[:200]) + "…"
	}
	return where
}

// object checks that n is an object with the required fields and none but the known ones.
func (r *reader) object(n *node, required, optional string) bool {
	if n.kind != isObject {
		r.bad(n.where, words.T("figure.wrong_kind", "Kind", n.kind.word()), words.T("figure.wrong_kind.fix", "Kind", isObject.word()))
		return false
	}
	must := strings.Fields(required)
	all := append(append([]string{}, must...), strings.Fields(optional)...)
	for _, m := range n.members {
		known := false
		for _, name := range all {
			known = known || name == m.name
		}
		if !known {
			r.bad(m.value.where, words.T("figure.unknown_field", "Name", clip(m.name)), words.T("figure.unknown_field.fix", "Names", strings.Join(all, ", ")))
		}
	}
	ok := true
	for _, name := range must {
		if n.get(name) == nil {
			r.bad(join(n.where, name), words.T("figure.missing", "Name", name), words.T("figure.missing.fix", "Name", name))
			ok = false
		}
	}
	return ok
}

func (r *reader) list(n *node) []*node {
	if n == nil {
		return nil
	}
	if n.kind != isList {
		r.bad(n.where, words.T("figure.wrong_kind", "Kind", n.kind.word()), words.T("figure.wrong_kind.fix", "Kind", isList.word()))
		return nil
	}
	return n.items
}

// text reads a string of at most limit characters; it may not be blank when some is true.
func (r *reader) text(n *node, limit int, some bool) string {
	if n == nil {
		return ""
	}
	if n.kind != isString {
		r.bad(n.where, words.T("figure.wrong_kind", "Kind", n.kind.word()), words.T("figure.wrong_kind.fix", "Kind", isString.word()))
		return ""
	}
	if what, fix, bad := TextFault(n.text, limit, some); bad {
		r.bad(n.where, what, fix)
	}
	return n.text
}

// TextFault says what is wrong with a title, name or note: blank where something is needed, more
// than limit characters, or characters that cannot be shown. Markup, emoji and any script are fine.
func TextFault(s string, limit int, some bool) (what, fix words.Text, bad bool) {
	if some && strings.TrimSpace(s) == "" {
		return words.T("figure.text.blank"), words.T("figure.text.blank.fix", "Max", limit), true
	}
	if n := utf8.RuneCountInString(s); n > limit {
		return words.T("figure.text.long", "Length", n), words.T("figure.text.long.fix", "Max", limit), true
	}
	for _, c := range s {
		if c == utf8.RuneError || (unicode.IsControl(c) && c != '\n') {
			return words.T("figure.text.control", "Code", strconv.FormatInt(int64(c), 16)), words.T("figure.text.control.fix"), true
		}
	}
	return words.Text{}, words.Text{}, false
}

// whole reads a whole number from low to high.
func (r *reader) whole(n *node, low, high int) (int, bool) {
	v, ok := r.real(n, float64(low), float64(high), true)
	if !ok {
		return 0, false
	}
	return int(v), true
}

func (r *reader) real(n *node, low, high float64, whole bool) (float64, bool) {
	if n.kind != isNumber {
		r.bad(n.where, words.T("figure.wrong_kind", "Kind", n.kind.word()), words.T("figure.wrong_kind.fix", "Kind", isNumber.word()))
		return 0, false
	}
	v, ok := n.number()
	key := "figure.number.fix"
	if whole {
		key = "figure.whole.fix"
	}
	if !ok || v < low || v > high || (whole && v != math.Trunc(v)) {
		r.bad(n.where, words.T("figure.number", "Found", clip(n.text)), words.T(key, "Low", shortest(low), "High", shortest(high)))
		return 0, false
	}
	return v, true
}

// half reads a place in whole or half units, from 0 to below n.
func (r *reader) half(node *node, n int) float64 {
	v, ok := r.real(node, 0, float64(n)-0.5, false)
	if ok && v*2 != math.Trunc(v*2) {
		r.bad(node.where, words.T("figure.number", "Found", clip(node.text)), words.T("figure.half.fix"))
	}
	return v
}

// placeOnRow reads a place of a row; that of an open row ends at the middle of its last unit.
func (r *reader) placeOnRow(f *Figure, n *node, row int) float64 {
	at := r.half(n, len(f.Rings[row].Cells))
	if last := f.pile().lastPlace(row); f.Open(row) && at > last {
		r.bad(n.where, words.T("figure.number", "Found", clip(n.text)), words.T("figure.place_in_line.fix", "High", shortest(last)))
	}
	return at
}

// Clip cuts what came from outside to a length that can be shown.
func Clip(s string) string { return clip(s) }

func clip(s string) string {
	if utf8.RuneCountInString(s) > 60 {
		return string([]rune(s)[:60]) + "…"
	}
	return s
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (r *reader) document(n *node) *Figure {
	f := &Figure{}
	several := false
	if n.kind == isObject && n.get("tuckring") != nil {
		v := n.get("tuckring")
		if found, ok := v.number(); v.kind == isNumber && ok && found > float64(Version) && found == math.Trunc(found) {
			r.bad("tuckring", words.T("figure.newer", "Found", clip(v.text)), words.T("figure.newer.fix", "Version", Version))
			return f
		}
		found, ok := r.whole(v, 1, Version)
		several = ok && found >= partsVersion
	}
	required, optional := "tuckring title unit colours rings", "front extras"
	if several {
		required, optional = "tuckring title unit colours parts", "extras"
	}
	if !r.object(n, required, optional) && n.kind != isObject {
		return f
	}
	f.Title = r.text(n.get("title"), MaxTitle, true)
	if u := n.get("unit"); u != nil {
		f.Unit = r.unit(u)
	}
	r.colours(f, n.get("colours"))
	list, known := "rings", []bool{false}
	if several {
		list = "parts"
		if parts := n.get(list); parts != nil {
			known = r.parts(f, parts)
		}
	} else {
		known = r.rings(f, n.get(list))
		if front := n.get("front"); front != nil && len(f.Rings) > 0 && known[0] {
			f.Front = r.half(front, len(f.Rings[0].Cells))
		}
	}
	r.extras(f, n.get("extras"), known)
	f.NextRing, f.NextExtra = RingID(len(f.Rings)+1), ExtraID(len(f.Extras)+1)
	r.together(f)
	if total := f.Units() + f.extraUnits(); total > MaxAllUnits {
		r.bad(list, words.T("figure.too_many_units", "Found", total), words.T("figure.too_many_units.fix", "Max", MaxAllUnits))
	}
	return f
}

func (f *Figure) extraUnits() int {
	n := 0
	for _, e := range f.Extras {
		n += e.Units
	}
	return n
}

func (r *reader) unit(n *node) Unit {
	u := Unit{Fold: Doubled}
	if n.kind != isObject {
		r.object(n, "", "")
		return u
	}
	r.object(n, "long_mm short_mm", "fold")
	okBoth := true
	read := func(name string) float64 {
		c := n.get(name)
		if c == nil {
			okBoth = false
			return 0
		}
		v, ok := r.real(c, MinUnitMM, MaxUnitMM, false)
		okBoth = okBoth && ok
		return v
	}
	u.LongMM, u.ShortMM = read("long_mm"), read("short_mm")
	if okBoth && u.SidesSwapped() {
		r.bad(join(n.where, "long_mm"), words.T("figure.long_short", "Long", shortest(u.LongMM), "Short", shortest(u.ShortMM)), words.T("figure.long_short.fix"))
	}
	if c := n.get("fold"); c != nil {
		u.Fold = Fold(r.choice(c, string(Doubled), string(Single)))
	}
	return u
}

// choice reads one of the given words.
func (r *reader) choice(n *node, allowed ...string) string {
	if n.kind == isString {
		for _, a := range allowed {
			if n.text == a {
				return a
			}
		}
	}
	found := clip(n.text)
	if n.kind != isString && n.kind != isNumber {
		found = n.kind.word().String()
	}
	r.bad(n.where, words.T("figure.choice", "Found", found), words.T("figure.choice.fix", "Allowed", strings.Join(allowed, ", ")))
	return allowed[0]
}

var hexPattern = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)

// HexFault says what is wrong with a colour value.
func HexFault(s string) (what, fix words.Text, bad bool) {
	if hexPattern.MatchString(s) {
		return words.Text{}, words.Text{}, false
	}
	return words.T("figure.hex", "Found", clip(s)), words.T("figure.hex.fix"), true
}

func (r *reader) colours(f *Figure, n *node) {
	r.colour = map[string]int{}
	if n == nil {
		return
	}
	items := r.list(n)
	if n.kind == isList && (len(items) < 1 || len(items) > MaxColours) {
		r.bad(n.where, words.T("figure.colours.count", "Count", len(items)), words.T("figure.colours.count.fix", "Max", MaxColours))
	}
	for i, item := range items {
		if i >= MaxColours {
			return
		}
		c := Colour{}
		if r.object(item, "id name hex", "sign") {
			c.ID = r.text(item.get("id"), MaxName, true)
			c.Name = r.text(item.get("name"), MaxName, true)
			if hex := item.get("hex"); hex.kind != isString {
				r.text(hex, 7, true)
			} else if what, fix, bad := HexFault(hex.text); bad {
				r.bad(hex.where, what, fix)
			} else {
				c.Hex = hex.text
			}
			if _, twice := r.colour[c.ID]; twice && c.ID != "" {
				r.bad(join(item.where, "id"), words.T("figure.colours.twice", "ID", c.ID), words.T("figure.colours.twice.fix"))
			}
			r.colour[c.ID] = i
			c.Sign = r.sign(f, item.get("sign"), c)
		} else if id := item.get("id"); item.kind == isObject && id != nil && id.kind == isString {
			r.colour[id.text] = i
		}
		f.Colours = append(f.Colours, c)
	}
}

// sign reads the sign chosen for a colour, "" when none was. No earlier colour may have it.
func (r *reader) sign(f *Figure, n *node, c Colour) string {
	if n == nil {
		return ""
	}
	if n.kind != isString {
		return r.text(n, 1, true)
	}
	what, fix, bad := SignFault(n.text)
	if n.text == "" {
		what, fix, bad = words.T("figure.sign.none"), words.T("figure.sign.fix"), true
	}
	if other, taken := f.signTaken(n.text, ""); taken && !bad {
		what, fix = signTwice(n.text, c.Name, other.Name)
		bad = true
	}
	if bad {
		r.bad(n.where, what, fix)
		return ""
	}
	return n.text
}

// colourIndex reads the ID of a colour of the figure.
func (r *reader) colourIndex(n *node) (int, bool) {
	if n.kind != isString {
		r.text(n, MaxName, true)
		return 0, false
	}
	i, ok := r.colour[n.text]
	if !ok {
		r.bad(n.where, words.T("figure.no_colour", "ID", clip(n.text)), words.T("figure.no_colour.fix"))
	}
	return i, ok
}

// rings reads all rings; known[i] says that ring i's units could be counted, so that what depends
// on the count can be checked.
func (r *reader) rings(f *Figure, n *node) (known []bool) {
	if n == nil {
		return []bool{false}
	}
	items := r.list(n)
	if n.kind == isList && (len(items) < 1 || len(items) > MaxRings) {
		r.bad(n.where, words.T("figure.rings.count", "Count", len(items)), words.T("figure.rings.count.fix", "Max", MaxRings))
	}
	for i, item := range items {
		if i >= MaxRings {
			break
		}
		known = append(known, r.ring(f, item, known))
	}
	if len(known) == 0 {
		known = []bool{false}
	}
	return known
}

// ring reads the next row and adds it to the figure; known tells which of those before could be counted. ok is false
// when this one could not.
func (r *reader) ring(f *Figure, n *node, known []bool) (ok bool) {
	at := len(f.Rings)
	foot := f.Footing(at)
	f.Rings = append(f.Rings, Ring{ID: RingID(at + 1)})
	ring := &f.Rings[at]
	optional := "start after note"
	if foot.OnTable() || foot.open || foot.grows {
		optional = "after note"
	}
	if !r.object(n, "runs", optional) {
		return false
	}
	ring.After = r.text(n.get("after"), MaxNote, false)
	ring.Note = r.text(n.get("note"), MaxNote, false)
	ok = r.runs(ring, n.get("runs"), foot, at+1)
	least := f.pile().least(at)
	if units := len(ring.Cells); ok && (units < least || units > MaxUnits) {
		r.badRing(at+1, join(n.where, "runs"), words.T("figure.ring.units", "Count", units), words.T("figure.ring.units.fix", "Min", least, "Max", MaxUnits))
		ok = false
	}
	if foot.OnTable() || !known[foot.Ring()] {
		return ok
	}
	ring.Start = foot.Usual()
	if s := n.get("start"); s != nil && !foot.open {
		if v, fine := r.whole(s, -1, foot.Offered()-1); fine {
			ring.Start = foot.Point(v)
		}
	}
	if ok && !foot.grows {
		if fault := f.pile().balanceFault(at); fault != nil {
			fault.Where = n.where
			r.note(*fault)
		}
	}
	return ok
}

// balanceFault checks the rule of the points for a row: taken + left free = 2 × units below.
func (p pile) balanceFault(row int) *Fault {
	ring, foot := &p.rings[row], p.footing(row)
	off := foot.Over(ring)
	if off == 0 {
		return nil
	}
	key := "figure.balance.many"
	if off < 0 {
		key, off = "figure.balance.few", -off
	}
	taken, free := ring.Points()
	return &Fault{Ring: row + 1, Where: p.where(row),
		What: words.T("figure.balance", "Ring", p.name(row), "Units", len(ring.Cells), "Taken", words.T("figure.points", "Count", taken), "Free", free,
			"Below", p.name(foot.Ring()), "Offered", foot.Offered(), "BelowUnits", foot.Units()),
		Fix: words.T(key, "Off", off, "Offered", foot.Offered())}
}

func (r *reader) extras(f *Figure, n *node, known []bool) {
	items := r.list(n)
	if len(items) > MaxExtras {
		r.bad(n.where, words.T("figure.extras.count", "Count", len(items)), words.T("figure.extras.count.fix", "Max", MaxExtras))
		return
	}
	for i, item := range items {
		e := r.extra(f, item, known)
		e.ID = ExtraID(i + 1)
		f.Extras = append(f.Extras, e)
	}
}

func (r *reader) extra(f *Figure, n *node, known []bool) Extra {
	e := Extra{}
	if n.kind != isObject {
		r.object(n, "", "")
		return e
	}
	kind := n.get("kind")
	if kind == nil {
		r.bad(join(n.where, "kind"), words.T("figure.missing", "Name", "kind"), words.T("figure.choice.fix", "Allowed", "tucked, glued"))
		return e
	}
	before := r.found
	e.Kind = Kind(r.choice(kind, string(Tucked), string(Glued)))
	if r.found > before {
		return e
	}
	e.Outline = Disc
	part := ""
	if len(f.Parts) > 0 {
		part = " part"
	}
	switch {
	case e.Kind == Tucked:
		r.object(n, "kind name colour units ring at", "shaping"+part)
	case n.get("outline") != nil && !(n.get("outline").kind == isString && n.get("outline").text == string(Disc)):
		e.Outline = Outline(r.choice(n.get("outline"), string(Disc), string(Oval), string(Triangle), string(Bar)))
		r.object(n, "kind name width_mm height_mm ring at", "colour shaping outline"+part)
	default:
		r.object(n, "kind name diameter_mm ring at", "colour shaping outline"+part)
	}
	if e.Kind == Tucked {
		e.Outline = ""
	}
	e.Name = r.text(n.get("name"), MaxName, true)
	e.Shaping = r.text(n.get("shaping"), MaxNote, false)
	if c := n.get("colour"); c != nil {
		if i, ok := r.colourIndex(c); ok {
			e.Colour = f.Colours[i].ID
		}
	}
	if c := n.get("units"); c != nil && e.Kind == Tucked {
		e.Units, _ = r.whole(c, 1, MaxExtraUnits)
	}
	length := func(name string, wanted bool) (mm float64) {
		if c := n.get(name); c != nil && wanted {
			mm, _ = r.real(c, MinUnitMM, MaxExtraMM, false)
		}
		return mm
	}
	disc := e.Outline == Disc
	e.Diameter = length("diameter_mm", e.Kind == Glued && disc)
	e.Width = length("width_mm", e.Kind == Glued && !disc)
	e.Height = length("height_mm", e.Kind == Glued && !disc)
	if c := n.get("ring"); c != nil {
		r.place(f, &e, n, c, known)
	}
	return e
}

func (r *reader) place(f *Figure, e *Extra, n, ring *node, known []bool) {
	if len(f.Rings) == 0 {
		return
	}
	first, rows := 0, len(f.Rings)
	if len(f.Parts) > 0 {
		part, ok := r.extraPart(f, n.get("part"))
		if !ok {
			return
		}
		first, rows = part.First, part.Rows
	}
	v, ok := r.whole(ring, 1, rows)
	if !ok {
		return
	}
	e.Ring = first + v
	if at := n.get("at"); at != nil && known[e.RingIndex()] {
		e.At = r.placeOnRow(f, at, e.RingIndex())
	}
}
