package paper

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Measure tells of a unit its leg in mm and whether it folds comfortably; the fold package knows.
type Measure func(figure.Unit) (legMM float64, comfortable bool)

// Reach and step of the search for nearby sizes in mm.
const (
	NearbyReachMM = 3.0
	NearbyStepMM  = 0.5
)

// nearbyWork bounds the search, in entries of tables and strips tried for them: about half a second.
const nearbyWork = 100_000_000

// Nearby is a unit size and what it makes of a sheet.
type Nearby struct {
	Unit        figure.Unit
	PerSheet    int
	Used        float64 // share of the sheet, 0 to 1
	LongByMM    float64 // change of the long side against the size asked about
	ShortByMM   float64
	LegMM       float64
	LegByMM     float64 // change of the leg; the figure's size changes by the same share
	Comfortable bool
}

// NearbySizes is the answer of the search.
type NearbySizes struct {
	Now      Nearby   // the size asked about
	Better   []Nearby // sizes that give more units, the smallest change first, each further one with more units
	Fuller   *Nearby  // the size that gives as many units as now with the least waste; nil if that is now
	Complete bool     // every size within reach was looked at; false only for very small units on very large sheets
}

// FindNearby looks around a unit's size, in steps of stepMM up to NearbyReachMM at each side, for sizes
// that fold comfortably in the same fold and fill the sheet of c better. The sides of c are
// taken from u. It fails as Best does, and with a figure.Fault at "step".
func FindNearby(ctx context.Context, c Cutting, u figure.Unit, stepMM float64, measure Measure) (NearbySizes, error) {
	if !within(stepMM, 0.1, NearbyReachMM) {
		return NearbySizes{}, fault("step", words.T("paper.step.bad", "Found", mm(stepMM)),
			words.T("paper.range", "Low", "0.1", "High", mm(NearbyReachMM)))
	}
	n := neighbourhood{c: c, u: u, measure: measure}
	now, err := n.look(ctx, 0, 0)
	if err != nil {
		return NearbySizes{}, err
	}
	found := NearbySizes{Now: now, Complete: true}
	var all []Nearby
	for _, by := range around(stepMM) {
		if n.work > nearbyWork || allowanceOf(ctx).spent() {
			found.Complete = false
			break
		}
		v, ok, err := n.try(ctx, by[0], by[1], now)
		if err != nil {
			return NearbySizes{}, err
		}
		if ok {
			all = append(all, v)
		}
	}
	found.rank(all)
	return found, nil
}

// around lists the changes of both sides within reach, the smallest first.
func around(stepMM float64) [][2]float64 {
	k := int(math.Floor(NearbyReachMM/stepMM + 1e-9))
	var out [][2]float64
	for a := -k; a <= k; a++ {
		for b := -k; b <= k; b++ {
			if a != 0 || b != 0 {
				out = append(out, [2]float64{float64(a) * stepMM, float64(b) * stepMM})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b [2]float64) int {
		return cmp.Compare(math.Abs(a[0])+math.Abs(a[1]), math.Abs(b[0])+math.Abs(b[1]))
	})
	return out
}

type neighbourhood struct {
	c       Cutting
	u       figure.Unit
	measure Measure
	work    int
}

// try looks at one change; ok is false when it does not fold well, does not fit, or cannot be better. The error
// is that of ctx.
func (n *neighbourhood) try(ctx context.Context, longBy, shortBy float64, now Nearby) (v Nearby, ok bool, err error) {
	u := n.unit(longBy, shortBy)
	if _, comfortable := n.measure(u); !comfortable {
		return Nearby{}, false, nil
	}
	c := n.c
	c.LongMM, c.ShortMM = u.LongMM, u.ShortMM
	if c.Validate() != nil || c.areaBound() < now.PerSheet {
		return Nearby{}, false, nil
	}
	v, err = n.look(ctx, longBy, shortBy)
	return v, err == nil, ctx.Err()
}

func (n *neighbourhood) unit(longBy, shortBy float64) figure.Unit {
	u := n.u
	u.LongMM, u.ShortMM = tidy(u.LongMM+longBy), tidy(u.ShortMM+shortBy)
	return u
}

// tidy takes off the noise of adding decimals.
func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func (n *neighbourhood) look(ctx context.Context, longBy, shortBy float64) (Nearby, error) {
	u := n.unit(longBy, shortBy)
	c := n.c
	c.LongMM, c.ShortMM = u.LongMM, u.ShortMM
	if err := c.Validate(); err != nil {
		return Nearby{}, err
	}
	s, err := c.count(ctx)
	if err != nil {
		return Nearby{}, err
	}
	n.work += s.work
	units := s.units
	before, _ := n.measure(n.u)
	leg, comfortable := n.measure(u)
	return Nearby{Unit: u, PerSheet: units, Used: float64(units) * u.LongMM * u.ShortMM / (c.Sheet.WidthMM * c.Sheet.HeightMM),
		LongByMM: tidy(u.LongMM - n.u.LongMM), ShortByMM: tidy(u.ShortMM - n.u.ShortMM),
		LegMM: leg, LegByMM: tidy(leg - before), Comfortable: comfortable}, nil
}

// rank sorts the sizes by their change and keeps those that no smaller or equal change matches.
func (f *NearbySizes) rank(all []Nearby) {
	slices.SortStableFunc(all, func(a, b Nearby) int {
		return cmp.Or(cmp.Compare(a.change(), b.change()), cmp.Compare(b.PerSheet, a.PerSheet),
			cmp.Compare(math.Abs(a.LegByMM), math.Abs(b.LegByMM)), cmp.Compare(b.Used, a.Used))
	})
	most, used := f.Now.PerSheet, f.Now.Used
	for i, v := range all {
		if v.PerSheet > most {
			most = v.PerSheet
			f.Better = append(f.Better, v)
		}
		if v.PerSheet == f.Now.PerSheet && v.Used > used+1e-9 {
			used, f.Fuller = v.Used, &all[i]
		}
	}
}

func (v Nearby) change() float64 { return tidy(math.Abs(v.LongByMM) + math.Abs(v.ShortByMM)) }

// Text says a nearby size in one sentence, with its sheet.
func (v Nearby) Text(s Sheet) words.Text {
	return words.T("paper.nearby", "Unit", mm(v.Unit.LongMM)+" × "+mm(v.Unit.ShortMM), "Sheet", s.Label(),
		"Count", v.PerSheet, "Leg", v.legText())
}

func (v Nearby) legText() words.Text {
	switch {
	case v.LegByMM > 0:
		return words.T("paper.nearby.longer", "By", mm(v.LegByMM), "Leg", mm(v.LegMM))
	case v.LegByMM < 0:
		return words.T("paper.nearby.shorter", "By", mm(-v.LegByMM), "Leg", mm(v.LegMM))
	}
	return words.T("paper.nearby.same", "Leg", mm(v.LegMM))
}
