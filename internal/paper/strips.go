package paper

import (
	"cmp"
	"context"
	"slices"
)

// strips are layouts for sheets that hold too many units for every way of cutting to be weighed: the sheet is
// cut into strips from edge to edge, each strip into rows of units that lie one way and rows that lie the
// other. The best of these is found: of each width the rows by trying all numbers of them, and the widths by
// filling a table over what is left of the sheet (the unbounded knapsack problem: Gilmore and Gomory 1965, from
// memory). A plain grid is one of them. On sheets where all layouts can be weighed it loses next to nothing
// (TestStripsComeCloseToTheBest).
type strips struct {
	long, short int64
	unit        *stem
}

func newStrips(long, short int64) *strips {
	return &strips{long: long, short: short, unit: &stem{piece: newPiece(long, short), units: 1}}
}

// most is how many units a sheet of w × h ticks gives in strips. The error is that of ctx.
func (s *strips) most(ctx context.Context, w, h int64) (int, error) {
	upright, err := s.widths(ctx, w, h)
	if err != nil {
		return 0, err
	}
	lying, err := s.widths(ctx, h, w)
	return max(upright.units, lying.units), err
}

// stem is the better of upright and lying strips: more units, then fewer cuts. The error is that of ctx.
func (s *strips) stem(ctx context.Context, w, h int64) (*stem, error) {
	upright, err := s.widths(ctx, w, h)
	if err != nil {
		return nil, err
	}
	lying, err := s.widths(ctx, h, w)
	if err != nil {
		return nil, err
	}
	a, b := s.cut(upright, w, h), s.cut(lying, h, w)
	if b.units > a.units || b.units == a.units && b.allCuts() < a.allCuts() {
		return b, nil
	}
	return a, nil
}

// stripPlan is strips by width, the widest first, and the units that they give.
type stripPlan struct {
	widths []int64
	units  int
}

// rows is how many rows of units a strip has: with the short side along it, and with the long side.
type rows struct{ short, long int64 }

// rows finds the rows that give most units in a strip of width × length; of equally good ones, those that
// need least of two kinds.
func (s *strips) rows(width, length int64) (best rows, units int64) {
	inShort, inLong := width/s.long, width/s.short // units in a row
	for long := int64(0); long <= length/s.long; long++ {
		r := rows{(length - long*s.long) / s.short, long}
		n := r.short*inShort + r.long*inLong
		if n > units || n == units && n > 0 && r.kinds(inShort, inLong) < best.kinds(inShort, inLong) {
			best, units = r, n
		}
	}
	if inShort == 0 {
		best.short = 0
	}
	return best, units
}

func (r rows) kinds(inShort, inLong int64) (n int) {
	if r.short > 0 && inShort > 0 {
		n++
	}
	if r.long > 0 && inLong > 0 {
		n++
	}
	return n
}

// maxWidths bounds the table over what is left of the sheet; with more sums of lengths than that only some of
// them are used.
const maxWidths = 8000

// widths finds the strips of full height h that give most units.
func (s *strips) widths(ctx context.Context, w, h int64) (stripPlan, error) {
	sums := s.sums(w)
	index := func(v int64) int {
		i, found := slices.BinarySearch(sums, v)
		if !found {
			i--
		}
		return i
	}
	type strip struct{ width, units int64 }
	var useful []strip // strips that others do not make up for
	best := make([]int64, len(sums))
	took := make([]int64, len(sums)) // the width of a strip; 0 where a narrower sheet gives as much
	for i := 1; i < len(sums); i++ {
		if i%64 == 0 && ctx.Err() != nil {
			return stripPlan{}, ctx.Err()
		}
		best[i] = best[i-1]
		for _, t := range useful {
			if n := t.units + best[index(sums[i]-t.width)]; n > best[i] {
				best[i], took[i] = n, t.width
			}
		}
		if v := sums[i]; v%s.long == 0 || v%s.short == 0 {
			if _, n := s.rows(v, h); n > best[i] {
				best[i], took[i] = n, v
				useful = append(useful, strip{v, n})
			}
		}
	}
	plan := stripPlan{units: int(best[len(sums)-1])}
	for i := len(sums) - 1; i > 0; {
		if took[i] == 0 {
			i--
			continue
		}
		plan.widths = append(plan.widths, took[i])
		i = index(sums[i] - took[i])
	}
	slices.SortStableFunc(plan.widths, func(a, b int64) int { return cmp.Compare(b, a) })
	return plan, nil
}

// sums lists sums of unit lengths and widths up to limit, rising, from 0: all multiples of either, and as many
// others as maxWidths allows.
func (s *strips) sums(limit int64) []int64 {
	var out []int64
	for v := int64(0); v <= limit; v += s.short {
		out = append(out, v)
	}
	each := maxWidths/(limit/s.long+1) + 1 // short sides beside so many long ones
	for a := s.long; a <= limit; a += s.long {
		for k, b := int64(0), a; k <= each && b <= limit; k, b = k+1, b+s.short {
			out = append(out, b)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// cut gives the cuts of a plan on a sheet of w × h.
func (s *strips) cut(plan stripPlan, w, h int64) *stem {
	known := map[int64]*stem{}
	parts := make([]*stem, len(plan.widths))
	lengths := make([]int64, len(plan.widths))
	for i, width := range plan.widths {
		if known[width] == nil {
			known[width] = s.strip(width, h)
		}
		parts[i], lengths[i] = known[width], width
	}
	return row(parts, lengths, w, h)
}

// strip cuts a strip into its rows: one kind, then the other.
func (s *strips) strip(width, length int64) *stem {
	r, _ := s.rows(width, length)
	inShort, inLong := width/s.long, width/s.short
	if r.short == 0 || inShort == 0 {
		return s.block(width, length, s.short, s.long, inLong, r.long)
	}
	if r.long == 0 || inLong == 0 {
		return s.block(width, length, s.long, s.short, inShort, r.short)
	}
	first := r.short * s.short
	parts := []*stem{
		s.block(width, first, s.long, s.short, inShort, r.short),
		s.block(width, length-first, s.short, s.long, inLong, r.long),
	}
	return row(parts, []int64{first, length - first}, length, width)
}

// block cuts w × h into columns × lines units of a × b. With slack both ways, one of them is trimmed first; the
// other falls off last.
func (s *strips) block(w, h, a, b, columns, lines int64) *stem {
	high := lines * b
	if h > high && w > columns*a {
		inner := s.block(w, high, a, b, columns, lines)
		return row([]*stem{inner}, []int64{high}, h, w)
	}
	if h > high {
		line := row(repeat(s.unit, columns), repeat(a, columns), w, b)
		return row(repeat(line, lines), repeat(b, lines), h, w)
	}
	column := row(repeat(s.unit, lines), repeat(b, lines), h, a)
	return row(repeat(column, columns), repeat(a, columns), w, h)
}

func repeat[T any](v T, n int64) []T {
	out := make([]T, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// row cuts parts of the lengths off a piece, one after another; what is left is waste. The piece is `length` long
// the way the parts follow one another and `across` the other way.
func row(parts []*stem, lengths []int64, length, across int64) *stem {
	left := length
	for _, l := range lengths {
		left -= l
	}
	rest := &stem{piece: newPiece(left, across)}
	for i := len(parts) - 1; i >= 0; i-- {
		left += lengths[i]
		if left == lengths[i] {
			rest = parts[i] // nothing is beyond it: no cut
			continue
		}
		rest = &stem{piece: newPiece(left, across), units: parts[i].units + rest.units,
			stop: lengths[i], alongH: left > across, part: parts[i], rest: rest}
	}
	return rest
}
