package picture

import (
	"slices"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Told is a result as it travels, to those who asked on the command line and to pages: differences are CIEDE2000.
type Told struct {
	Mean     float64       `json:"mean_difference"`
	Greatest float64       `json:"greatest_difference"`
	ByColour []ColourUnits `json:"by_colour"`
	// Proven says that no choice within the limits has a smaller mean difference; Bound is the least that any can have. Both are of the choice
	// before it is spread and cleaned.
	Proven  bool       `json:"proven"`
	Bound   float64    `json:"bound_difference"`
	Covered int        `json:"covered"` // units that the picture covers
	OneMore *ToldGain  `json:"one_more,omitempty"`
	TenMore []ToldGain `json:"ten_more,omitempty"`
}

// ColourUnits says how many units a figure has of a paper.
type ColourUnits struct {
	Colour string `json:"colour"`
	Name   string `json:"name"`
	Units  int    `json:"units"`           // in the whole figure
	Laid   int    `json:"laid"`            // of these, painted after the picture
	Stock  *int   `json:"stock,omitempty"` // how many there are, where that is a limit
}

// ToldGain says by how much the mean difference would be less at least with one more paper, or with ten more units of one.
type ToldGain struct {
	Colour string  `json:"colour"`
	Name   string  `json:"name"`
	Hex    string  `json:"hex"`
	Less   float64 `json:"less_difference"`
}

// Tell puts the result in the form in which it travels.
func (r *Result) Tell() Told {
	out := Told{Mean: r.Mean, Greatest: r.Greatest, ByColour: []ColourUnits{}, Proven: r.Proven, Bound: r.Bound, Covered: r.Covered}
	for _, use := range r.By {
		c := ColourUnits{Colour: use.Colour.ID, Name: use.Colour.Name, Units: use.Units, Laid: use.Laid}
		if use.Scarce {
			c.Stock = &use.Stock
		}
		out.ByColour = append(out.ByColour, c)
	}
	if r.OneMore != nil {
		gain := r.OneMore.tell()
		out.OneMore = &gain
	}
	for _, g := range r.TenMore {
		out.TenMore = append(out.TenMore, g.tell())
	}
	return out
}

func (g Gain) tell() ToldGain { return ToldGain{g.Colour.ID, g.Colour.Name, g.Colour.Hex, g.Mean} }

// Among gives papers the IDs that they have in a figure, where it has a paper of that very colour, and else IDs of their own that no paper of
// the figure has. Papers of one colour become one. ids tells of each paper given, by its ID, which it has now.
func Among(f *figure.Figure, papers []figure.Colour) (among []figure.Colour, ids map[string]string) {
	ids = map[string]string{}
	known := slices.Clone(f.Colours)
	for _, p := range papers {
		before := p.ID
		if i := slices.IndexFunc(known, func(c figure.Colour) bool { return c.Hex == p.Hex }); i >= 0 {
			p = known[i]
		} else {
			taken := func(id string) bool {
				return slices.ContainsFunc(known, func(c figure.Colour) bool { return c.ID == id })
			}
			for n := 2; taken(p.ID); n++ {
				p.ID = before + "-" + strconv.Itoa(n)
			}
			p.Sign = "" // one of the figure's may have it
			known = append(known, p)
		}
		ids[before] = p.ID
		if !slices.ContainsFunc(among, func(c figure.Colour) bool { return c.ID == p.ID }) {
			among = append(among, p)
		}
	}
	return among, ids
}

// On is the choice with its papers as a figure has them (see Among), in the stock and for the background too.
func (c Choice) On(f *figure.Figure) Choice {
	among, ids := Among(f, c.Papers)
	c.Papers = among
	id := func(before string) string {
		if now, ok := ids[before]; ok {
			return now
		}
		return before
	}
	c.Ground = id(c.Ground)
	if c.Stock != nil {
		stock := make(map[string]int, len(c.Stock))
		for before, units := range c.Stock {
			now := id(before)
			if less, ok := stock[now]; ok {
				units += less // two papers of one colour
			}
			stock[now] = units
		}
		c.Stock = stock
	}
	return c
}

// Say tells of a result in sentences: how near it comes, what could not be proven, and what more paper would bring.
func (r *Result) Say() []words.Text {
	out := []words.Text{words.T("picture.said.difference", "Mean", tenth(r.Mean), "Greatest", tenth(r.Greatest), "Count", r.Covered)}
	if r.Covered == 0 {
		return []words.Text{words.T("picture.said.nothing")}
	}
	if !r.Proven {
		out = append(out, words.T("picture.said.bound", "Bound", tenth(r.Bound)))
	}
	for _, use := range r.By {
		if use.Scarce && use.Laid > 0 {
			out = append(out, words.T("picture.said.stock", "Name", use.Colour.Name, "Count", use.Units, "Stock", use.Stock))
		}
	}
	if g := r.OneMore; g != nil && g.Mean >= worth {
		out = append(out, words.T("picture.said.one_more", "Name", g.Colour.Name, "Hex", g.Colour.Hex, "Less", tenth(g.Mean)))
	}
	for _, g := range r.TenMore {
		if g.Mean >= worth {
			out = append(out, words.T("picture.said.ten_more", "Name", g.Colour.Name, "Less", tenth(g.Mean)))
		}
	}
	return out
}

// worth is the least gain that is told in a sentence.
const worth = 0.05

// tenth writes a difference as people read it.
func tenth(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
