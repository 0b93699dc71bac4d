package figure

import (
	"math"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// A twin is stored as the part whose mirror image it is, and nothing else. Its rows and extras stand in the figure like all
// others, so that whoever counts, places or builds has them; their identities are those of the original, negative. Edits never
// touch them: they are taken out before an edit and made anew after it.

// hasTwins says whether any part is a twin.
func (f *Figure) hasTwins() bool {
	return slices.ContainsFunc(f.Parts, func(p Part) bool { return p.Twin != 0 })
}

// unmirror takes the rows and extras of all twins out.
func (f *Figure) unmirror() {
	if !f.hasTwins() {
		return
	}
	names := f.extraRows()
	f.Rings = slices.DeleteFunc(slices.Clone(f.Rings), func(r Ring) bool { return r.ID < 0 })
	f.Extras = slices.DeleteFunc(slices.Clone(f.Extras), func(e Extra) bool { return e.ID < 0 })
	for i := range f.Parts {
		if part := &f.Parts[i]; part.Twin != 0 {
			*part = Part{ID: part.ID, Code: part.Code, Name: part.Name, Twin: part.Twin}
		}
	}
	layParts(f.Parts)
	f.putExtras(names)
}

// extraRows remembers which row each extra is on, for putExtras once rows came or went.
func (f *Figure) extraRows() map[ExtraID]RingID {
	out := make(map[ExtraID]RingID, len(f.Extras))
	for i := range f.Extras {
		out[f.Extras[i].ID] = f.Rings[f.Extras[i].RingIndex()].ID
	}
	return out
}

func (f *Figure) putExtras(rows map[ExtraID]RingID) {
	where := ringNumbers(f)
	for i := range f.Extras {
		f.Extras[i].Ring = where[rows[f.Extras[i].ID]] + 1
	}
}

// mirror makes the rows and extras of all twins from the parts that they mirror. It gives the faults of those that cannot
// be: where the mirror image of a point falls between points or is not free. The figure then has none of the twins.
func (f *Figure) mirror() Faults {
	if !f.hasTwins() {
		return nil
	}
	f.unmirror()
	names := f.extraRows()
	u := plan(f)
	g := &Figure{Front: f.Front, Parts: cloneParts(f.Parts), Colours: f.Colours}
	extras := slices.Clone(f.Extras)
	var faults Faults
	for i := range f.Parts {
		part := &f.Parts[i]
		if part.Twin == 0 {
			g.Rings = append(g.Rings, f.Rings[part.First:part.First+part.Rows]...)
			continue
		}
		of, ok := f.PartIndex(part.Twin)
		if !ok {
			faults = append(faults, f.twinFault(i, words.T("figure.no_part", "ID", part.Code), words.T("figure.no_part.fix")))
			continue
		}
		m, fault := f.image(u, &f.Parts[of], i)
		if slices.ContainsFunc(f.Parts[:i], func(p Part) bool { return p.Twin == part.Twin }) {
			twice := f.twinFault(i, words.T("figure.twin.twice", "Part", f.Parts[of].Name), words.T("figure.twin.twice.fix"))
			fault = &twice
		}
		if fault != nil {
			faults = append(faults, *fault)
			continue
		}
		g.Parts[i] = m.part
		g.Rings = append(g.Rings, m.rows...)
		for _, e := range m.extras {
			extras = append(extras, e)
			names[e.ID] = -names[-e.ID]
		}
	}
	if faults != nil {
		return faults
	}
	layParts(g.Parts)
	for _, t := range (pile{g.Rings, g.Parts}).takenTwice() {
		faults = append(faults, Fault{Where: t.where, Ring: t.row + 1, What: t.what, Fix: words.T("figure.point_taken.fix")})
	}
	switch {
	case faults != nil:
		return faults
	case len(g.Rings) > MaxRings:
		return Faults{{Where: "parts", What: words.T("figure.rings.count", "Count", len(g.Rings)), Fix: words.T("figure.rings.count.fix", "Max", MaxRings)}}
	case len(extras) > MaxExtras:
		return Faults{{Where: "extras", What: words.T("figure.extras.count", "Count", len(extras)), Fix: words.T("figure.extras.count.fix", "Max", MaxExtras)}}
	}
	f.Rings, f.Parts, f.Extras = g.Rings, g.Parts, extras
	f.putExtras(names)
	return nil
}

func (f *Figure) twinFault(part int, what, fix words.Text) Fault {
	return Fault{Where: "parts[" + strconv.Itoa(part) + "].twin", What: what, Fix: fix}
}

// image is a part's mirror image.
type image struct {
	part   Part
	rows   []Ring
	extras []Extra // on rows counted from the part's first; their places are mirrored
}

// image mirrors a part for the twin at an index, about the front line of the part it stands on.
func (f *Figure) image(u *Unrolled, of *Part, twin int) (image, *Fault) {
	named := f.Parts[twin]
	m := image{part: of.Clone()}
	m.part.ID, m.part.Code, m.part.Name, m.part.Twin = named.ID, named.Code, named.Name, of.ID
	for i := range m.part.Bend {
		m.part.Bend[i].Right = 0 - m.part.Bend[i].Right
	}
	first := len(f.Rings[of.First].Cells)
	if !of.Open {
		m.part.Front = mirrorPlace(of.Front, first)
	}
	on, ok := f.RingIndex(of.on())
	if !ok {
		fault := f.twinFault(twin, words.T("figure.twin.first"), words.T("figure.twin.first.fix"))
		return m, &fault
	}
	axis := u.fronts[f.PartOf(on)]
	for k := range of.Rows {
		row, foot := f.Rings[of.First+k], f.Footing(of.First+k)
		start := 0
		switch {
		case foot.Grows():
			taken, free := row.Points()
			start, ok = mirrorSpan(groundOf(foot, u.arcs), axis, row.Start, taken+free)
			if !ok {
				fault := f.twinFault(twin, words.T("figure.twin.between", "Part", of.Name, "Ring", f.RowName(on)), words.T("figure.twin.between.fix"))
				return m, &fault
			}
			if overlap(foot, row.Start, start, taken+free) {
				fault := f.twinFault(twin, words.T("figure.twin.front", "Part", of.Name, "Ring", f.RowName(on)), words.T("figure.twin.front.fix"))
				return m, &fault
			}
		case !foot.OnTable() && !foot.Line():
			start = foot.Point(foot.Offered() - row.Start)
		}
		m.rows = append(m.rows, mirrorRow(row, start))
	}
	if of.Set != nil && !m.setAside(of.Set, u.arcs[on], axis) {
		fault := f.twinFault(twin, words.T("figure.twin.centred", "Part", of.Name), words.T("figure.twin.centred.fix"))
		return m, &fault
	}
	for i := range f.Extras {
		e := f.Extras[i]
		if row := e.RingIndex(); row >= of.First && row < of.First+of.Rows {
			e.ID = -e.ID
			e.At = mirrorPlace(e.At, len(f.Rings[row].Cells))
			m.extras = append(m.extras, e)
		}
	}
	return m, nil
}

// overlap tells whether two stretches of so many points, from a point of a row on each, have one in common.
func overlap(foot Footing, a, b, points int) bool {
	if foot.Line() {
		return max(a, b)-min(a, b) < points
	}
	return foot.Point(b-a) < points || foot.Point(a-b) < points
}

// setAside puts the image of a part that is set on to the other side; it is not ok when that is where the part itself is, or no
// place of the row.
func (m *image) setAside(set *Setting, arcs []arc, axis float64) (ok bool) {
	if set.Centred {
		return false
	}
	wanted := 2*axis - placeTurn(arcs, set.At)
	for k := range 2 * len(arcs) {
		if at := float64(k) / 2; circular(placeTurn(arcs, at), wanted) < same {
			m.part.Set.At = at
			return at != set.At
		}
	}
	return false
}

// same is how far apart two places are at most that are one, in turns.
const same = 1e-7

// mirrorPlace is the mirror image of a place in a row of n units whose order is turned round.
func mirrorPlace(at float64, n int) float64 {
	at = float64(n-1) - at
	if at < 0 {
		at += float64(n)
	}
	return at
}

// mirrorSpan mirrors a span of points about an axis, in turns, or in a line about its middle, and gives its first one; it is not
// ok when the image of a point is no point.
func mirrorSpan(g ground, axis float64, start, points int) (first int, ok bool) {
	if g.Line() {
		return g.Offered() - start - points, true
	}
	for k := range points {
		p, found := g.pointAt(2*axis - g.tip(start+k))
		if !found || k > 0 && p != g.Point(first-1) {
			return 0, false
		}
		first = p
	}
	return first, points > 0
}

// pointAt finds the point that stands at a turn.
func (g ground) pointAt(turn float64) (point int, ok bool) {
	best, nearest := -1, math.Inf(1)
	for p := range g.Offered() {
		if away := circular(g.tip(p), turn); away < nearest {
			best, nearest = p, away
		}
	}
	return best, nearest < same
}

// mirrorRow turns the order of a row's units round; its seam takes the given point.
func mirrorRow(r Ring, start int) Ring {
	n := len(r.Cells)
	out := Ring{ID: -r.ID, Start: start, Cells: make([]Cell, n), After: r.After, Note: r.Note, FreeEnd: int(r.Cells[0].Free)}
	for i, c := range r.Cells {
		c.Free = uint16(r.FreeEnd)
		if i+1 < n {
			c.Free = r.Cells[i+1].Free
		}
		out.Cells[n-1-i] = c
	}
	return out
}

// reflect makes the places of every twin the exact mirror image of the part it mirrors.
func (f *Figure) reflect(rows [][]arc, fronts []float64) {
	for i := range f.Parts {
		part := &f.Parts[i]
		if part.Twin == 0 || part.Rows == 0 {
			continue
		}
		of, ok := f.PartIndex(part.Twin)
		if !ok {
			continue
		}
		first := f.Parts[of].First
		n := len(rows[first])
		sum := float64(n-1) / float64(n) // of a circle of its own
		if part.Open {
			on, _ := f.RingIndex(part.on())
			sum = 2 * fronts[f.PartOf(on)]
		}
		for k := range part.Rows {
			rows[part.First+k] = reflected(rows[first+k], sum)
		}
	}
}

// reflected are arcs mirrored: a turn t comes to stand at sum − t.
func reflected(arcs []arc, sum float64) []arc {
	n := len(arcs)
	out := make([]arc, n)
	for i, a := range arcs {
		out[n-1-i] = arc{from: sum - a.to, to: sum - a.from, mid: sum - a.mid, tip: a.tip}
	}
	shift := math.Round(out[0].mid)
	for i := range out {
		out[i].from, out[i].to, out[i].mid = out[i].from-shift, out[i].to-shift, out[i].mid-shift
	}
	return out
}

// withTwins carries an edit out on a figure without its twins, and makes them anew. Where a twin can no longer be, the edit is
// refused with the reason and the figure is as it was. Strokes change twins where they are.
func (f *Figure) withTwins(e Edit, do func() (Edit, Change, error)) (Edit, Change, error) {
	if _, painting := e.(*Paint); painting {
		back, ch, err := do()
		if err == nil && f.hasTwins() {
			f.paintTwins(ch.Paint)
		}
		return back, ch, err
	}
	var saved *Figure
	if f.hasTwins() {
		saved = f.Clone()
		f.unmirror()
	} else if bringsTwins(e) {
		saved = f.Clone()
	}
	back, ch, err := do()
	if err == nil {
		if faults := f.mirror(); faults != nil {
			err = faults
		}
	}
	if err != nil {
		if saved != nil {
			*f = *saved
		}
		return nil, Change{}, err
	}
	return back, ch, nil
}

// bringsTwins says whether an edit may put a twin into a figure that has none.
func bringsTwins(e Edit) bool {
	switch e := e.(type) {
	case *AddTwin, *PutPart:
		return true
	case *Batch:
		return slices.ContainsFunc(e.Edits, bringsTwins)
	}
	return false
}

// paintTwins gives the units of twins the looks of those that were painted.
func (f *Figure) paintTwins(runs []PaintRun) {
	where := ringFinder(f, 2*len(runs))
	for _, run := range runs {
		from, _ := where(run.Ring)
		to, ok := where(-run.Ring)
		if !ok {
			continue
		}
		cells, image := f.Rings[from].Cells, f.Rings[to].Cells
		for u := run.At; u < run.At+run.N; u++ {
			k := len(cells) - 1 - u
			image[k].Colour, image[k].Side = cells[u].Colour, cells[u].Side
		}
	}
}
