package picture

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Way says how a picture follows the wall.
type Way string

// The ways of a picture: its two sides meet at the back; or it lies flat on the unrolled wall, as a label on a jar; or it is
// seen on the body by somebody who stands straight before it.
const (
	Around   Way = "around"
	Flat     Way = "flat"
	Straight Way = "straight"
)

// Ways are all of them.
var Ways = []Way{Around, Flat, Straight}

// Lay says how a picture lies on the rows of a part. Lengths are in widths of a plain unit of the fullest row (one pitch), both
// across and upwards, so that a square picture is square on the wall when its width and height are alike. The plane is the
// unrolled wall, or with Straight what is seen of the body.
type Lay struct {
	Part figure.PartID `json:"part,omitempty"` // 0: the one on the table
	From int           `json:"from,omitempty"` // number of the lowest row in its part that is painted, from 1; 0: the first
	To   int           `json:"to,omitempty"`   // and of the highest; 0: the last
	Way  Way           `json:"way" oneof:"around,flat,straight"`
	// Times is how often the picture is repeated at equal distances around, 0 for once.
	Times int `json:"times,omitempty"`
	// X and Y are where the picture's middle is: to the right of the front line, and up from the foot of the part's first row.
	X float64 `json:"x"`
	Y float64 `json:"y"`
	// Width and Height are the picture's. With Around the width is made such that the pictures meet.
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Turn   float64 `json:"turn,omitempty"` // degrees, to the right
	Mirror bool    `json:"mirror,omitempty"`
}

// Limits of a Lay.
const (
	MaxTimes  = 100
	MaxReach  = 10_000.0 // of places and lengths, in pitches
	leastSize = 0.01
)

// check refuses numbers that make no sense.
func (l *Lay) check() error {
	switch l.Way {
	case Around, Flat, Straight:
	default:
		return words.T("picture.lay.way", "Found", clip(string(l.Way)))
	}
	if l.Times < 0 || l.Times > MaxTimes {
		return words.T("picture.lay.times", "Found", l.Times, "Most", MaxTimes)
	}
	for _, v := range []float64{l.X, l.Y, l.Turn} {
		if !(math.Abs(v) <= MaxReach) {
			return words.T("picture.lay.place", "Most", MaxReach)
		}
	}
	width := l.Width
	if l.Way == Around {
		width = 1
	}
	for _, v := range []float64{width, l.Height} {
		if !(v >= leastSize && v <= MaxReach) {
			return words.T("picture.lay.size", "Least", leastSize, "Most", MaxReach)
		}
	}
	return nil
}

// Refit fits a picture that lies in some way already: how it is turned and mirrored is kept, and all of it is to be seen.
func (g *Ground) Refit(p *Picture, l Lay) Lay {
	sin, cos := math.Sincos(l.Turn * math.Pi / 180)
	w, h := float64(p.Width), float64(p.Height)
	box := Picture{Width: int(boxScale * (math.Abs(w*cos) + math.Abs(h*sin))), Height: int(boxScale * (math.Abs(w*sin) + math.Abs(h*cos)))}
	out := g.Fit(&box, l.Way, l.Times)
	if l.Way != Around {
		by := boxScale * out.Height / float64(box.Height)
		out.Width, out.Height = math.Max(w*by, leastSize), math.Max(h*by, leastSize)
	}
	out.Turn, out.Mirror = l.Turn, l.Mirror
	return out
}

// boxScale is into how many parts of a pixel the box around a turned picture is measured.
const boxScale = 1000

// Fit gives how a picture lies at first: around the whole it is stretched over the chosen rows; else it keeps its proportions and
// is as large as they allow, on what is seen from the front, its middle on the front line.
func (g *Ground) Fit(p *Picture, way Way, times int) Lay {
	times = max(1, times)
	low, high := g.reach()
	l := Lay{Part: g.part, From: g.from, To: g.to, Way: way, Times: times, Y: (low + high) / 2, Width: g.wide / float64(times), Height: high - low}
	if way == Around {
		return l
	}
	across := l.Width
	if !g.open {
		across = math.Min(across, g.around/2)
	}
	if way == Straight && !g.open {
		across = 2 * g.widest() * math.Sin(math.Min(math.Pi/2, math.Pi/float64(times)))
	}
	l.Width = across
	if tall := across * float64(p.Height) / float64(p.Width); tall < l.Height {
		l.Height = tall
	} else {
		l.Width = l.Height * float64(p.Width) / float64(p.Height)
	}
	l.Width, l.Height = math.Max(l.Width, leastSize), math.Max(l.Height, leastSize)
	return l
}
