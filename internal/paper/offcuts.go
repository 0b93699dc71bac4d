package paper

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tuckring/internal/words"
)

// Want is something that might be cut from leftover paper: a rectangle, or a disc when DiameterMM is
// given.
type Want struct {
	Name            string
	LongMM, ShortMM float64
	DiameterMM      float64
}

// Validate refuses sizes that are not sensible, at "want".
func (w Want) Validate() error {
	sides := []float64{w.LongMM, w.ShortMM}
	if w.DiameterMM != 0 {
		sides = []float64{w.DiameterMM}
	}
	for _, s := range sides {
		if !within(s, 1, MaxSheetMM) {
			return fault("want", words.T("paper.want.bad", "Found", mm(s)), words.T("paper.range", "Low", "1", "High", mm(MaxSheetMM)))
		}
	}
	return nil
}

// Holds says how many of the wanted shapes one offcut gives: rectangles by the best edge-to-edge
// layout, discs in rows and columns (a closer packing is not tried).
func (o Offcut) Holds(ctx context.Context, w Want) (int, error) {
	if err := w.Validate(); err != nil {
		return 0, err
	}
	if w.DiameterMM != 0 {
		return int(math.Floor(o.WMM/w.DiameterMM)) * int(math.Floor(o.HMM/w.DiameterMM)), nil
	}
	c := Cutting{Sheet: Sheet{WidthMM: o.WMM, HeightMM: o.HMM}, LongMM: w.LongMM, ShortMM: w.ShortMM}
	if !c.fits() {
		return 0, nil
	}
	s, err := c.count(ctx)
	return s.units, err
}

// Offcut is paper left over, by size: WMM ≤ HMM. Units is how many units each piece would still give.
type Offcut struct {
	WMM, HMM float64
	Count    int
	Units    int
}

// offcuts lists what is left over under n by size, the largest first.
func (n *Node) offcuts() []Offcut {
	var list []Offcut
	var walk func(*Node)
	walk = func(n *Node) {
		if n.Kind == OffcutNode || n.Kind == SpareNode {
			list = addOffcut(list, Offcut{min(n.W, n.H), max(n.W, n.H), 1, n.Units})
		}
		for _, p := range n.Parts {
			walk(p)
		}
	}
	walk(n)
	sortOffcuts(list)
	return list
}

// sortOffcuts puts the largest first.
func sortOffcuts(list []Offcut) {
	slices.SortStableFunc(list, func(a, b Offcut) int {
		return cmp.Or(cmp.Compare(b.WMM*b.HMM, a.WMM*a.HMM), cmp.Compare(b.HMM, a.HMM))
	})
}

func addOffcut(list []Offcut, o Offcut) []Offcut {
	for i := range list {
		if list[i].WMM == o.WMM && list[i].HMM == o.HMM {
			list[i].Count += o.Count
			return list
		}
	}
	return append(list, o)
}
