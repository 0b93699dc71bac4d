package solidtest

import "math"

// Papers are those that the two models below are painted in, as a file of colours.
const Papers = `#f4efe6 Chalk
#a63a2b Brick red
#2b2b2e Soot
#8a8f94 Slate
#7a5230 Bark
#d9a441 Honey
`

var (
	chalk = [3]uint8{0xf4, 0xef, 0xe6}
	brick = [3]uint8{0xa6, 0x3a, 0x2b}
	soot  = [3]uint8{0x2b, 0x2b, 0x2e}
	slate = [3]uint8{0x8a, 0x8f, 0x94}
	bark  = [3]uint8{0x7a, 0x52, 0x30}
	honey = [3]uint8{0xd9, 0xa4, 0x41}
)

// Lighthouse is a tower with three red bands on a rock, with a gallery, a lantern and a hood, 300 mm high.
func Lighthouse() *Solid {
	radius := func(s float64) float64 {
		switch {
		case s < 0.16: // the rock
			return 78 - 160*s*s*6
		case s < 0.74: // the tower
			return 44 - 26*(s-0.16)
		case s < 0.79: // the gallery
			return 36
		case s < 0.9: // the lantern
			return 24
		}
		return 30 * math.Max(0.25, 1-(s-0.9)/0.1)
	}
	colour := func(s, turn float64) [3]uint8 {
		switch {
		case s < 0.16:
			return slate
		case s < 0.74:
			if math.Mod((s-0.16)/0.58*5, 2) >= 1 {
				return brick
			}
			return chalk
		case s < 0.79:
			return soot
		case s < 0.9:
			return honey
		}
		return brick
	}
	return Lathe(300, 72, 240, radius, colour)
}

// Owl is a round bird of 220 mm with two ears, a beak, two wings that lie on it and large eyes.
func Owl() *Solid {
	turnOff := func(turn, at float64) float64 { return math.Abs(math.Remainder(turn-at, 1)) }
	radius := func(s float64) float64 {
		body := 70 * math.Sqrt(math.Max(0, 1-math.Pow((s-0.36)/0.46, 2)))
		head := 58 * math.Sqrt(math.Max(0, 1-math.Pow((s-0.72)/0.28, 2)))
		return math.Max(body, head)
	}
	colour := func(s, turn float64) [3]uint8 {
		eye := math.Hypot((s-0.76)*200, (turnOff(turn, 0)-0.09)*2*math.Pi*56)
		switch {
		case eye < 7:
			return soot
		case eye < 17:
			return honey
		case s < 0.55 && turnOff(turn, 0) < 0.14:
			if math.Mod(s*20, 2) < 1 {
				return chalk
			}
			return honey
		case turnOff(turn, 0.5) > 0.18 && s > 0.2 && s < 0.55:
			return soot
		}
		return bark
	}
	owl := Lathe(200, 96, 160, radius, colour)
	ear := func() *Solid {
		return Lathe(46, 32, 20, func(s float64) float64 { return 15 * (1 - s*0.75) }, func(s, turn float64) [3]uint8 {
			if s > 0.6 {
				return soot
			}
			return bark
		})
	}
	return owl.Add(ear().Turned(-18), 33, 174, 0).Add(ear().Turned(18), -33, 174, 0)
}
