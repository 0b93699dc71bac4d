package paper

import (
	"slices"

	"tuckring/internal/words"
)

// Lot is a number of units of one colour.
type Lot struct {
	Colour string
	Units  int
}

// Kit is one person's share of the folding.
type Kit struct {
	Number int // from 1
	Units  int
	Lots   []Lot
}

// MaxPeople is the largest group that folding is shared among.
const MaxPeople = 1000

// Kits shares the lots among people. Kits differ by at most one unit, and all of them together hold
// at most people + colours − 1 lots: the colours are dealt out one after another, so every lot ends a
// kit or a colour. Colours, and pairs of colours, that come out as whole kits by themselves are dealt first,
// which saves a further lot each; it is not searched for the very fewest lots. With more people than
// units some kits are empty. It fails with a figure.Fault at "people" or "units".
func Kits(lots []Lot, people int) ([]Kit, error) {
	if people < 1 || people > MaxPeople {
		return nil, fault("people", words.T("paper.people.bad", "Found", people), words.T("paper.people.allowed", "Most", MaxPeople))
	}
	total := 0
	var left []Lot
	for _, l := range lots {
		if l.Units < 0 || l.Units > maxJobUnits {
			return nil, fault("units", words.T("paper.units.bad", "Found", l.Units), words.T("paper.units.allowed", "Most", maxJobUnits))
		}
		if l.Units > 0 {
			left = append(left, l)
		}
		total += l.Units
	}
	d := dealer{size: total / people, people: people, large: total % people}
	left = d.singles(left)
	left = d.pairs(left)
	d.deal(left, d.people, d.large)
	return d.kits, nil
}

// dealer deals colours into kits: `people` kits are still to be filled, `large` of them with size + 1
// units and the others with size.
type dealer struct {
	size, people, large int
	kits                []Kit
}

// fit says whether n units are exactly some of the kits still to be filled, and leave kits that can
// be filled: how many kits, and how many large ones among them.
func (d *dealer) fit(n int) (kits, large int, ok bool) {
	if d.size == 0 {
		return 0, 0, false
	}
	for kits = min(n/d.size, d.people); kits > 0 && n <= kits*(d.size+1); kits-- {
		large = n - kits*d.size
		if large <= d.large && d.large-large <= d.people-kits {
			return kits, large, true
		}
	}
	return 0, 0, false
}

func (d *dealer) singles(lots []Lot) (left []Lot) {
	for _, l := range lots {
		if kits, large, ok := d.fit(l.Units); ok {
			d.deal([]Lot{l}, kits, large)
		} else {
			left = append(left, l)
		}
	}
	return left
}

func (d *dealer) pairs(lots []Lot) (left []Lot) {
	for len(lots) > 0 {
		first := lots[0]
		lots = lots[1:]
		i := slices.IndexFunc(lots, func(l Lot) bool {
			_, _, ok := d.fit(first.Units + l.Units)
			return ok
		})
		if i < 0 {
			left = append(left, first)
			continue
		}
		kits, large, _ := d.fit(first.Units + lots[i].Units)
		d.deal([]Lot{first, lots[i]}, kits, large)
		lots = slices.Delete(slices.Clone(lots), i, i+1)
	}
	return left
}

// deal fills the next kits, the large ones first, with the lots in their order.
func (d *dealer) deal(lots []Lot, kits, large int) {
	lots = slices.Clone(lots)
	for i := range kits {
		k := Kit{Number: len(d.kits) + 1}
		room := d.size
		if i < large {
			room++
		}
		for room > 0 && len(lots) > 0 {
			n := min(room, lots[0].Units)
			k.Lots = append(k.Lots, Lot{lots[0].Colour, n})
			k.Units += n
			room -= n
			if lots[0].Units -= n; lots[0].Units == 0 {
				lots = lots[1:]
			}
		}
		d.kits = append(d.kits, k)
	}
	d.people -= kits
	d.large -= large
}
