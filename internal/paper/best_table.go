package paper

import (
	"context"
	"math"
	"slices"
)

// Lengths inside the solver are ticks: half nanometres, so that one odd tick can stand for a margin
// that has to go (see problem.ticks).
const ticksPerMM = 2_000_000

func toTicks(mm float64) int64 { return int64(math.Round(mm*1e6)) * 2 }

// score packs (most units, then fewest cuts) into one number that can be added and compared:
// units × perUnit − cuts.
type score = int32

// perUnit is more cuts than any layout has: a layout of n units never needs more than 3n + 4, and
// maxWeighed bounds n.
const perUnit score = 1 << 16

// maxWeighed is the most units on a sheet for which all layouts are weighed: the score has to fit 31 bits.
const maxWeighed = 10_000

func unitsOf(v score) int { return int((v + perUnit - 1) / perUnit) }

// table holds the best score of every piece of normal width and height, for units of long × short
// ticks (kerf included). Row i is the piece's shorter bound, column j its longer one; widths and
// heights share the normal lengths, and a piece may be turned.
type table struct {
	long, short int64
	normal      []int64 // sums of unit lengths and widths, rising, from 0
	rows, cols  int     // how many of them fit the sheet's shorter and longer side
	best        []score // rows × cols
	// Best scores over all smaller pieces, for pieces with slack that is trimmed first:
	overRows []score // over rows ≤ i at column j
	overCols []score // over columns ≤ j at row i
	overAll  []score // over both
	work     int     // strips tried, and a little for every piece
}

// Limits of filling a table, so that a person is not kept waiting and the memory is bounded (about 90 MB
// for the largest table). See maxWork for the strips tried.
const (
	maxNormals = 4000      // normal lengths along one side
	maxEntries = 3_000_000 // pieces in the table
)

// newTable fills the table for a sheet of w × h ticks. ok is false when the problem is too fine (then t is nil) or takes
// more work than limit. The error is that of ctx.
func newTable(ctx context.Context, long, short, w, h int64, limit int) (t *table, ok bool, err error) {
	normal, ok := normalLengths(long, short, max(w, h))
	if !ok {
		return nil, false, nil
	}
	t = &table{long: long, short: short, normal: normal, cols: len(normal)}
	t.rows, _ = t.floor(min(w, h))
	t.rows++
	if t.rows*t.cols > maxEntries {
		return nil, false, nil
	}
	if t.rows*t.cols > limit {
		t.work = t.rows * t.cols
		return t, false, nil
	}
	if t.rows*t.cols > largeTable {
		select {
		case large <- struct{}{}:
			defer func() { <-large }()
		case <-ctx.Done():
			return nil, false, ctx.Err()
		}
	}
	ok, err = t.fill(ctx, limit)
	return t, ok, err
}

// large lets only so many large tables be filled at once, so that many questions at a time do not take all
// the memory.
var large = make(chan struct{}, 2)

const largeTable = 500_000 // entries

// normalLengths lists all sums i·long + j·short up to limit, rising; ok is false when there are more
// than maxNormals.
func normalLengths(long, short, limit int64) (normal []int64, ok bool) {
	if (limit/long+1)*(limit/short+1) > 4*maxNormals {
		return nil, false
	}
	for a := int64(0); a <= limit; a += long {
		for b := a; b <= limit; b += short {
			normal = append(normal, b)
		}
	}
	slices.Sort(normal)
	normal = slices.Compact(normal)
	return normal, len(normal) <= maxNormals
}

// floor finds the largest normal length ≤ v; exact says that v itself is normal.
func (t *table) floor(v int64) (index int, exact bool) {
	i, found := slices.BinarySearch(t.normal, v)
	if found {
		return i, true
	}
	return i - 1, false
}

// fill works out every entry, row by row. By symmetry an entry left of the diagonal is the mirror of
// one already known. It is not ok when it takes more work than limit.
func (t *table) fill(ctx context.Context, limit int) (ok bool, err error) {
	n := t.rows * t.cols
	all := make([]score, 4*n)
	t.best, t.overRows, t.overCols, t.overAll = all[:n:n], all[n:2*n:2*n], all[2*n:3*n:3*n], all[3*n:]
	half := make([]int32, t.cols)
	for j := range half {
		k, _ := t.floor(t.normal[j] / 2)
		half[j] = int32(k)
	}
	f := filler{half: half, table: t, less: t.differences(), primes: make([][]int32, t.cols), turned: make([]score, n)}
	for i := range t.rows {
		f.row(i)
		f.work += t.cols
		if f.work > limit {
			return false, nil
		}
		if err := ctx.Err(); err != nil {
			return false, err
		}
	}
	return true, nil
}

// differences[j·cols + b] is the index of normal[j] − normal[b], or −1 if that is not normal.
func (t *table) differences() []int16 {
	less := make([]int16, t.cols*t.cols)
	for j := range t.cols {
		row := less[j*t.cols : (j+1)*t.cols]
		c := j
		for b := 0; b <= j; b++ {
			want := t.normal[j] - t.normal[b]
			for t.normal[c] > want {
				c--
			}
			if t.normal[c] == want {
				row[b] = int16(c)
			} else {
				row[b] = -1
			}
		}
	}
	return less
}

// filler is the state of filling a table.
type filler struct {
	*table
	less   []int16
	turned []score   // best by column: cols × rows
	half   []int32   // half[j]: the last length that is at most half of normal[j]
	primes [][]int32 // by column: rows whose best is not made of two rows of that column
	across []int32   // columns of the current row whose best is not made of two columns of that row
}

func (f *filler) row(i int) {
	f.across = f.across[:0]
	if i < f.cols {
		f.across = append(f.across, f.primes[i]...) // the mirror of the columns left of the diagonal
	}
	at := i * f.cols
	for j := range f.cols {
		if j < i {
			f.best[at+j] = f.best[j*f.cols+i]
		} else {
			f.best[at+j] = f.entry(i, j)
		}
		f.turned[j*f.rows+i] = f.best[at+j]
		f.running(i, j)
	}
}

// running keeps the maxima over smaller pieces up to date.
func (f *filler) running(i, j int) {
	k := i*f.cols + j
	v := f.best[k]
	rows, cols := v, v
	if i > 0 {
		rows = max(v, f.overRows[k-f.cols])
	}
	if j > 0 {
		cols = max(v, f.overCols[k-1])
	}
	all := max(rows, cols)
	if i > 0 {
		all = max(all, f.overAll[k-f.cols])
	}
	if j > 0 {
		all = max(all, f.overAll[k-1])
	}
	f.overRows[k], f.overCols[k], f.overAll[k] = rows, cols, all
}

// entry works out the best score of a piece on or right of the diagonal, and notes whether it is a
// prime strip of its row or column.
func (f *filler) entry(i, j int) score {
	if f.normal[i] == f.short && f.normal[j] == f.long {
		f.primes[j] = append(f.primes[j], int32(i))
		f.across = append(f.across, int32(j))
		return perUnit
	}
	inRow, inCol := f.splitRow(i, j), f.splitCol(i, j)
	trim := score(0)
	if i > 0 {
		trim = max(trim, f.overRows[(i-1)*f.cols+j]-1)
	}
	if j > 0 {
		trim = max(trim, f.overCols[i*f.cols+j-1]-1)
	}
	v := max(inRow, inCol, trim, 0)
	if v > inRow {
		f.across = append(f.across, int32(j))
	}
	if v > inCol {
		f.primes[j] = append(f.primes[j], int32(i))
	}
	return v
}

// splitRow is the best of splitting a prime strip off along the row: columns b + c = j. Of the prime strips that
// make up a row the narrowest is at most half of it.
func (f *filler) splitRow(i, j int) score {
	best := score(0)
	row := f.best[i*f.cols : (i+1)*f.cols]
	less := f.less[j*f.cols : (j+1)*f.cols]
	half := f.half[j]
	for _, b := range f.across {
		if b > half {
			break
		}
		f.work++
		if c := less[b]; c > 0 {
			best = max(best, row[b]+row[c]-1)
		}
	}
	return best
}

// splitCol is the best of splitting a prime strip off along the column: rows b + c = i.
func (f *filler) splitCol(i, j int) score {
	best := score(0)
	column := f.turned[j*f.rows : (j+1)*f.rows]
	less := f.less[i*f.cols : (i+1)*f.cols]
	half := f.half[i]
	for _, b := range f.primes[j] {
		if b > half {
			break
		}
		f.work++
		if c := less[b]; c > 0 {
			best = max(best, column[b]+column[c]-1)
		}
	}
	return best
}

// score is the best score of any piece of w × h ticks, normal or not, in either orientation.
func (t *table) score(w, h int64) score {
	if w > h {
		w, h = h, w
	}
	i, exactRow := t.floor(w)
	j, exactCol := t.floor(h)
	if i < 0 || j < 0 {
		return 0
	}
	k := i*t.cols + j
	switch {
	case exactRow && exactCol:
		return t.best[k]
	case exactCol:
		return max(0, t.overRows[k]-1)
	case exactRow:
		return max(0, t.overCols[k]-1)
	}
	return max(0, t.overAll[k]-2)
}
