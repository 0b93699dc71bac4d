package figure

import (
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// Parts of a document of version 2.

// parts reads the parts and their rows; known is as of rings, for all rows.
func (r *reader) parts(f *Figure, n *node) (known []bool) {
	items := r.list(n)
	if n.kind == isList && (len(items) < 1 || len(items) > MaxParts) {
		r.bad(n.where, words.T("figure.parts.count", "Count", len(items)), words.T("figure.parts.count.fix", "Max", MaxParts))
	}
	all := map[string]int{}
	for i, item := range items {
		if code := codeOf(item); code != "" {
			if _, twice := all[code]; twice {
				r.bad(join(item.where, "id"), words.T("figure.parts.twice", "ID", clip(code)), words.T("figure.parts.twice.fix"))
				continue
			}
			all[code] = i
		}
	}
	for i, item := range items {
		if i >= MaxParts {
			break
		}
		known = r.part(f, item, i, all, known)
	}
	if len(known) == 0 {
		known = []bool{false}
	}
	return known
}

func codeOf(part *node) string {
	if part.kind != isObject || part.get("id") == nil {
		return ""
	}
	return part.get("id").text
}

// part reads part i and its rows; all are the parts of the document by their ids.
func (r *reader) part(f *Figure, n *node, i int, all map[string]int, known []bool) []bool {
	f.Parts = append(f.Parts, Part{ID: PartID(i + 1), First: len(f.Rings)})
	part := &f.Parts[i]
	stands, lists := r.partKind(n, i)
	if stands == "twin" {
		r.object(n, "id name twin", "")
		lists = nil
	} else if !r.object(n, "id name", "front bend grows set rings rows chain") && n.kind != isObject {
		return known
	}
	part.Code = r.text(n.get("id"), MaxName, true)
	part.Name = r.text(n.get("name"), MaxName, true)
	switch stands {
	case "grows":
		r.growth(f, n.get("grows"), i, all, known)
	case "set":
		r.setting(f, n.get("set"), i, all, known)
	case "twin":
		r.twin(f, n.get("twin"), i, all)
	}
	if len(lists) != 1 {
		return known
	}
	rows := n.get(lists[0])
	part.Open = lists[0] != "rings"
	first := part.First
	if lists[0] == "chain" {
		known = r.chain(f, rows, i, known)
	} else {
		known = r.rows(f, rows, i, known)
	}
	part = &f.Parts[i]
	if front := n.get("front"); front != nil {
		switch {
		case part.Open:
			r.bad(front.where, words.T("figure.part.front"), words.T("figure.part.front.fix"))
		case part.Rows > 0 && known[first]:
			at := r.half(front, len(f.Rings[first].Cells))
			if part.Front = at; i == 0 {
				f.Front, part.Front = at, 0
			}
		}
	}
	if bend := n.get("bend"); bend != nil && i == 0 {
		r.bad(bend.where, words.T("figure.bend.first"), words.T("figure.bend.first.fix"))
	} else {
		r.bends(part, bend)
	}
	r.grownRow(f, n, i, known)
	return known
}

// partKind tells how a part says where it stands, and which lists of rows it has; it reports what is too many and what is missing.
func (r *reader) partKind(n *node, i int) (stands string, lists []string) {
	if n.kind != isObject {
		return "", nil
	}
	var ways []string
	for _, way := range []string{"grows", "set", "twin"} {
		if n.get(way) != nil {
			ways = append(ways, way)
		}
	}
	for _, list := range []string{"rings", "rows", "chain"} {
		if n.get(list) != nil {
			lists = append(lists, list)
		}
	}
	switch {
	case i == 0 && len(ways) > 0:
		r.bad(join(n.where, ways[0]), words.T("figure.part.first"), words.T("figure.part.first.fix"))
		return "", lists
	case i > 0 && len(ways) != 1:
		r.bad(n.where, words.T("figure.part.ways", "Count", len(ways)), words.T("figure.part.ways.fix"))
		return "", lists
	case i > 0:
		stands = ways[0]
	}
	allowed := "rings"
	if stands == "grows" {
		allowed = "rows, rings, chain"
	}
	if stands != "twin" && (len(lists) != 1 || stands != "grows" && lists[0] != "rings") {
		r.bad(n.where, words.T("figure.part.lists", "Count", len(lists)), words.T("figure.part.lists.fix", "Allowed", allowed))
		lists = nil
	}
	return stands, lists
}

// carrier reads the id of the part that part i stands on or mirrors: one before it, and no twin.
func (r *reader) carrier(f *Figure, n *node, i int, all map[string]int) (index int, ok bool) {
	if n.kind != isString {
		r.text(n, MaxName, true)
		return 0, false
	}
	index, ok = all[n.text]
	switch {
	case !ok:
		r.bad(n.where, words.T("figure.no_part", "ID", clip(n.text)), words.T("figure.no_part.fix"))
	case index == i:
		r.bad(n.where, words.T("figure.part.on_itself", "ID", clip(n.text)), words.T("figure.part.later.fix"))
	case index > i:
		r.bad(n.where, words.T("figure.part.later", "ID", clip(n.text)), words.T("figure.part.later.fix"))
	case f.Parts[index].Twin != 0:
		r.bad(n.where, words.T("figure.part.on_twin", "ID", clip(n.text)), words.T("figure.part.on_twin.fix"))
	default:
		return index, true
	}
	return 0, false
}

// carryingRow reads part and row that part i stands on.
func (r *reader) carryingRow(f *Figure, n *node, i int, all map[string]int) (row int, ok bool) {
	on, ok := r.carrier(f, n.get("on"), i, all)
	if !ok || f.Parts[on].Rows == 0 {
		return 0, false
	}
	number, ok := r.whole(n.get("ring"), 1, f.Parts[on].Rows)
	return f.Parts[on].First + number - 1, ok
}

// growth reads where a part grows; the point is kept for its first row, which does not stand yet.
func (r *reader) growth(f *Figure, n *node, i int, all map[string]int, known []bool) {
	if !r.object(n, "on ring point", "") {
		return
	}
	row, ok := r.carryingRow(f, n, i, all)
	if !ok {
		return
	}
	f.Parts[i].Grows = f.Rings[row].ID
	if known[row] {
		r.whole(n.get("point"), 0, offering(len(f.Rings[row].Cells)).Offered()-1)
	}
}

func (r *reader) setting(f *Figure, n *node, i int, all map[string]int, known []bool) {
	if !r.object(n, "on ring how", "at tilt") {
		return
	}
	set := &Setting{Centred: n.get("at") == nil, How: How(r.choice(n.get("how"), string(GluedOn), string(PushedOn)))}
	if tilt := n.get("tilt"); tilt != nil {
		set.Tilt, _ = r.real(tilt, MinTilt, MaxTilt, false)
	}
	row, ok := r.carryingRow(f, n, i, all)
	if !ok {
		return
	}
	set.On = f.Rings[row].ID
	if at := n.get("at"); at != nil && known[row] {
		set.At = r.placeOnRow(f, at, row)
	}
	f.Parts[i].Set = set
}

func (r *reader) twin(f *Figure, n *node, i int, all map[string]int) {
	of, ok := r.carrier(f, n, i, all)
	switch {
	case !ok:
	case of == 0:
		r.bad(n.where, words.T("figure.twin.first"), words.T("figure.twin.first.fix"))
	default:
		f.Parts[i].Twin = f.Parts[of].ID
	}
}

// rows reads a list of rows for part i.
func (r *reader) rows(f *Figure, n *node, i int, known []bool) []bool {
	items := r.list(n)
	if n.kind == isList && (len(items) < 1 || len(f.Rings)+len(items) > MaxRings) {
		r.bad(n.where, words.T("figure.rings.count", "Count", len(f.Rings)+len(items)), words.T("figure.rings.count.fix", "Max", MaxRings))
	}
	for _, item := range items {
		if len(f.Rings) >= MaxRings {
			break
		}
		f.Parts[i].Rows++
		known = append(known, r.ring(f, item, known))
	}
	return known
}

// chain reads runs of rows of one unit each for part i.
func (r *reader) chain(f *Figure, n *node, i int, known []bool) []bool {
	items := r.list(n)
	if n.kind == isList && len(items) == 0 {
		r.bad(n.where, words.T("figure.chain.empty"), words.T("figure.chain.empty.fix", "Max", MaxRings))
	}
	for _, item := range items {
		if !r.object(item, "n colour", "side") {
			continue
		}
		count, ok := r.whole(item.get("n"), 1, MaxRings)
		colour, fine := r.colourIndex(item.get("colour"))
		cell := Cell{Colour: uint8(colour), Takes: PlainTakes}
		if v := item.get("side"); v != nil && r.choice(v, Long.String(), Short.String()) == Short.String() {
			cell.Side = Short
		}
		if !ok || !fine {
			continue
		}
		if len(f.Rings)+count > MaxRings {
			r.bad(join(item.where, "n"), words.T("figure.rings.count", "Count", len(f.Rings)+count), words.T("figure.rings.count.fix", "Max", MaxRings))
			return known
		}
		for range count {
			f.Rings = append(f.Rings, Ring{ID: RingID(len(f.Rings) + 1), Cells: []Cell{cell}})
			f.Parts[i].Rows++
			known = append(known, true)
		}
	}
	return known
}

// bends reads the bends of a part. They may be of more rows than it has by now.
func (r *reader) bends(part *Part, n *node) {
	left := MaxRings
	for _, item := range r.list(n) {
		if !r.object(item, "rows", "out right") {
			continue
		}
		b := Bend{}
		if rows := item.get("rows"); left < 1 {
			r.bad(rows.where, words.T("figure.bend.rows", "Max", MaxRings), words.T("figure.bend.rows.fix"))
			return
		} else if v, ok := r.whole(rows, 1, left); ok {
			b.Rows, left = v, left-v
		}
		for name, to := range map[string]*float64{"out": &b.Out, "right": &b.Right} {
			if v := item.get(name); v != nil {
				*to, _ = r.real(v, MinBend, MaxBend, false)
			}
		}
		part.Bend = append(part.Bend, b)
	}
}

// grownRow puts the first row of a part that grows onto its points.
func (r *reader) grownRow(f *Figure, n *node, i int, known []bool) {
	part := &f.Parts[i]
	if part.Grows == 0 || part.Rows == 0 || !known[part.First] {
		return
	}
	row := &f.Rings[part.First]
	foot := f.Footing(part.First)
	point, ok := n.get("grows").get("point").number()
	if !ok || point < 0 || int(point) >= foot.Offered() {
		return // told already
	}
	row.Start = int(point)
	where := f.pile().where(part.First)
	if row.Cells[0].Free > 0 || row.FreeEnd > 0 {
		r.badRing(part.First+1, where, words.T("figure.part.edge"), words.T("figure.part.edge.fix"))
		return
	}
	if over := foot.Over(row); over > 0 {
		taken, free := row.Points()
		r.badRing(part.First+1, join(n.where, "grows.point"), words.T("figure.part.beyond", "Points", words.T("figure.points", "Count", taken+free), "Point", foot.pointName(row.Start), "Offered", words.T("figure.points", "Count", taken+free-over)), words.T("figure.part.beyond.fix"))
	}
}

// freePoints reports every point that two rows take.
func (r *reader) freePoints(f *Figure) {
	for _, t := range f.pile().takenTwice() {
		r.badRing(t.row+1, t.where, t.what, words.T("figure.point_taken.fix"))
	}
}

// twiceTaken is a row that takes a point which another has taken.
type twiceTaken struct {
	row   int
	where string
	what  words.Text
}

// takenTwice finds the parts that grow from points which are not free; each is told once, with the first such point.
func (p pile) takenTwice() (out []twiceTaken) {
	takers := map[int][]int{} // by the row below: of each point, which row takes it, from 1
	for i := range p.parts {
		part := &p.parts[i]
		if !part.grown() || part.Rows == 0 {
			continue
		}
		foot := p.footing(part.First)
		below := foot.Ring()
		if below < 0 {
			continue
		}
		if takers[below] == nil {
			takers[below] = make([]int, foot.Offered())
			if above, ok := p.upon(below); ok {
				p.take(takers[below], above)
			}
		}
		if point, by, ok := p.take(takers[below], part.First); ok {
			where := "parts[" + strconv.Itoa(i) + "]"
			if part.Twin == 0 {
				where += ".grows.point"
			}
			out = append(out, twiceTaken{part.First, where, words.T("figure.point_taken", "Part", part.Name, "Point", foot.pointName(point), "Ring", p.name(below), "By", p.name(by))})
		}
	}
	return out
}

// take notes the points that a row takes of the row below; ok says that one was taken before, by which row.
func (p pile) take(takers []int, row int) (point, by int, ok bool) {
	for at, unit := range p.footing(row).TakenBy(&p.rings[row]) {
		switch {
		case unit < 0:
		case takers[at] != 0 && !ok:
			point, by, ok = at, takers[at]-1, true
		default:
			takers[at] = row + 1
		}
	}
	return point, by, ok
}

// extraPart reads the part that an extra is on: the first when it does not say; a twin has those of the part it mirrors.
func (r *reader) extraPart(f *Figure, n *node) (part *Part, ok bool) {
	if n == nil {
		return &f.Parts[0], true
	}
	if n.kind != isString {
		r.text(n, MaxName, true)
		return nil, false
	}
	i := slices.IndexFunc(f.Parts, func(p Part) bool { return p.Code == n.text })
	switch {
	case i < 0:
		r.bad(n.where, words.T("figure.no_part", "ID", clip(n.text)), words.T("figure.no_part.fix"))
		return nil, false
	case f.Parts[i].Twin != 0:
		r.bad(n.where, words.T("figure.part.on_twin", "ID", clip(n.text)), words.T("figure.part.on_twin.fix"))
		return nil, false
	}
	return &f.Parts[i], true
}

// together checks what the parts of a figure have to do with one another, once each is known to be sound, and makes
// the twins. A figure of one part has none.
func (r *reader) together(f *Figure) {
	if len(f.Parts) == 0 {
		return
	}
	f.NextPart = PartID(len(f.Parts) + 1)
	if r.found == 0 {
		r.freePoints(f)
	}
	if r.found == 0 {
		for _, fault := range f.mirror() {
			r.note(fault)
		}
	}
	if len(f.Parts) == 1 {
		f.Parts, f.NextPart = nil, 0
	}
}

// codeFor makes an id for a new part from its name, unique in the figure.
func (f *Figure) codeFor(name string) string {
	return freshID(name, "part", func(id string) bool {
		return slices.ContainsFunc(f.Parts, func(p Part) bool { return p.Code == id })
	})
}
