package paper

import (
	"context"
	"errors"
)

// Work is counted, never timed: the same question has the same answer on any machine. maxWork bounds one search;
// orderWork all searches of one order together, however many sizes of sheets it has. Searches of no more than smallWork,
// which is what most makers' sheets take, are carried out all the same.
const (
	maxWork   = 150_000_000 // strips tried: about 0.8 s (measured, 2026)
	orderWork = 2 * maxWork
	smallWork = 500_000
)

// allowance is the work that the searches of one order still have, and the answers that they gave, so that a sheet
// asked about again has the same answer for nothing.
type allowance struct {
	left    int
	layouts map[Cutting]*Layout
}

type allowanceKey struct{}

// Together returns a context in which all searches share one limit of work. When it is used up the layouts that come
// after, but for those that are found at once, are the best in strips, and say so. Those that come first are served first. A context that has such a limit
// comes back as it is. It is for one goroutine.
func Together(ctx context.Context) context.Context {
	if allowanceOf(ctx) != nil {
		return ctx
	}
	return context.WithValue(ctx, allowanceKey{}, &allowance{left: orderWork, layouts: map[Cutting]*Layout{}})
}

type rememberedKey struct{}

// ErrNotRemembered says that a layout would have to be searched for.
var ErrNotRemembered = errors.New("paper: no such layout is remembered")

// Remembered returns a context in which nothing is searched for: Best gives what is in memory at once, or fails with
// ErrNotRemembered. It is for who holds others up meanwhile.
func Remembered(ctx context.Context) context.Context {
	return context.WithValue(ctx, rememberedKey{}, true)
}

// allowanceOf is what the context shares; nil where every search stands for itself.
func allowanceOf(ctx context.Context) *allowance {
	a, _ := ctx.Value(allowanceKey{}).(*allowance)
	return a
}

// limit is the most work of the next search.
func (a *allowance) limit() int {
	if a == nil {
		return maxWork
	}
	return min(max(a.left, smallWork), maxWork)
}

// spend takes work off what is left.
func (a *allowance) spend(work int) {
	if a != nil {
		a.left = max(0, a.left-work)
	}
}

// spent says that there is nothing left to weigh with.
func (a *allowance) spent() bool { return a != nil && a.left == 0 }

// takes says whether a search that is known to fill a table with so much work may do so, and otherwise takes all that
// is left, as a search does that stops half way.
func (a *allowance) takes(filled int) bool {
	if a == nil || filled <= max(a.left, smallWork) {
		return true
	}
	a.left = 0
	return false
}

func (a *allowance) known(c Cutting) (*Layout, bool) {
	if a == nil {
		return nil, false
	}
	l, ok := a.layouts[c]
	return l, ok
}

func (a *allowance) keep(c Cutting, l *Layout) {
	if a != nil {
		a.layouts[c] = l
	}
}
