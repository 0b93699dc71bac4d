// Package scenes draws very different pictures of our own to make figures of, for tests and for the README: an emblem of few flat colours
// before nothing, a drawing with outlines on paper, a painting that goes all around, and something like a photo, with soft light and grain. They are the same to the bit every time.
package scenes

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
)

// rgb is light as a painter mixes it, in sRGB, 0 … 1; a is how much it covers.
type rgb struct{ r, g, b, a float64 }

func hex(v uint32) rgb {
	return rgb{float64(v>>16&255) / 255, float64(v>>8&255) / 255, float64(v&255) / 255, 1}
}

func mix(a, b rgb, t float64) rgb {
	t = math.Min(1, math.Max(0, t))
	return rgb{a.r + (b.r-a.r)*t, a.g + (b.g-a.g)*t, a.b + (b.b-a.b)*t, a.a + (b.a-a.a)*t}
}

// drawn asks for the colour of each pixel, at places −1 … 1 across and up; the shorter side of the picture is 2 long.
func drawn(w, h int, at func(x, y float64) rgb) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	unit := float64(min(w, h)) / 2
	to := func(v float64) uint8 { return uint8(math.Round(255 * math.Min(1, math.Max(0, v)))) }
	for py := range h {
		for px := range w {
			c := at((float64(px)+0.5-float64(w)/2)/unit, (float64(h)/2-float64(py)-0.5)/unit)
			img.SetNRGBA(px, py, color.NRGBA{to(c.r), to(c.g), to(c.b), to(c.a)})
		}
	}
	return img
}

// ellipse is below 1 within one around a place.
func ellipse(x, y, cx, cy, rx, ry float64) float64 { return math.Hypot((x-cx)/rx, (y-cy)/ry) }

var clear = rgb{}

// Lighthouse is an emblem: a red and white tower on a rock, its lamp lit, cut out.
func Lighthouse() *image.NRGBA {
	red, white, soot, lamp, rock := hex(0xb8392b), hex(0xf5f0e6), hex(0x2b2b2e), hex(0xf4c926), hex(0x8d8a80)
	return drawn(480, 800, func(x, y float64) rgb {
		half := 0.36 - 0.09*(y+1.2) // of the tower at a height
		switch ax := math.Abs(x); {
		case y > 1.5:
			return clear
		case y > 1.14: // the roof
			if ax < 0.36*(1.5-y)/0.36 {
				return red
			}
		case y > 0.84: // the lamp room, with its bars
			if ax < 0.22 {
				if math.Abs(ax-0.11) < 0.02 || ax > 0.19 {
					return soot
				}
				return lamp
			}
		case y > 0.74: // the gallery
			if ax < 0.34 {
				return soot
			}
		case y > -1.2:
			switch {
			case ax >= half:
				return clear
			case y < -0.8 && ax < 0.1:
				return soot // the door
			case ellipse(x, y, 0, 0.3, 0.06, 0.09) < 1:
				return soot // a window
			case int(math.Floor((y+1.2)/0.39))%2 == 0:
				return red
			}
			return white
		case y > -1.55: // the rock
			if ax < 0.62-0.35*math.Pow((y+1.55)/0.35, 2) {
				return rock
			}
		}
		return clear
	})
}

// Puffin is a drawing with ink outlines on warm paper: a puffin from in front.
func Puffin() *image.NRGBA {
	paper, ink, black, white, orange, beak, grey := hex(0xe9dcc0), hex(0x1d1b22), hex(0x2b2b2e), hex(0xf7f4ec), hex(0xe0662a), hex(0xc9402a), hex(0x6d7687)
	return drawn(640, 840, func(x, y float64) rgb {
		ax := math.Abs(x)
		body, belly := ellipse(ax, y, 0, -0.2, 0.62, 0.9), ellipse(ax, y, 0, -0.36, 0.44, 0.7)
		head, face := ellipse(ax, y, 0, 0.72, 0.5, 0.42), ellipse(ax, y, 0.215, 0.7, 0.205, 0.29)
		bill, foot := ellipse(ax, y, 0, 0.56, 0.16, 0.23), ellipse(ax, y, 0.22, -1.1, 0.2, 0.1)
		eye := ellipse(ax, y, 0.24, 0.78, 0.075, 0.1)
		line := func(d, width float64) bool { return math.Abs(d-1) < width }
		switch {
		case line(bill, 0.08), line(foot, 0.12) && y < -1.0, eye < 1:
			return ink
		case foot < 1:
			return orange
		case bill < 1:
			switch {
			case y > 0.66:
				return grey
			case y > 0.6:
				return hex(0xf4c926)
			}
			return beak
		case face < 1:
			return white
		case line(head, 0.05) && body > 0.96:
			return ink
		case head < 1:
			return black
		case line(body, 0.04):
			return ink
		case belly < 1 && y < 0.36:
			return white
		case body < 1:
			return black
		}
		return paper
	})
}

// Dusk is like a painting that goes all around a lantern: the evening sky over the sea, the sun going down behind a headland with
// its lighthouse, and sails. Its left and right edge meet.
func Dusk() *image.NRGBA {
	sky := []rgb{hex(0xf6b24a), hex(0xe8763c), hex(0xc65a6a), hex(0x6b4d86), hex(0x27305e)} // from the horizon up
	sea := []rgb{hex(0xe9a35a), hex(0x8a6a86), hex(0x2f5a86), hex(0x1d3358)}                // from the horizon down
	land, sail, lamp := hex(0x262033), hex(0xf7efe0), hex(0xffe27a)
	const wide = 16.0 / 9 // of the picture from its middle
	return drawn(1600, 900, func(x, y float64) rgb {
		a := x / wide * math.Pi // around the lantern
		const horizon = -0.35
		away := math.Abs(a) // from the sun
		glow := math.Exp(-away * away)
		c := along(sky, (y-horizon)/(1.35)*(1.15-0.35*glow))
		if y < horizon {
			c = along(sea, (horizon-y)/0.65)
			path := math.Exp(-math.Pow(away/(0.16+0.5*(horizon-y)), 2)) * (0.55 + 0.45*math.Sin(60*y+2*math.Sin(9*a)))
			c = mix(c, hex(0xffd37a), path)
		}
		if sun := ellipse(a, y, 0, horizon+0.1, 0.42, 0.24); sun < 1 && y > horizon {
			c = mix(hex(0xfff0b8), hex(0xffc24a), sun)
		}
		if hill := horizon + 0.2*math.Exp(-math.Pow((away-math.Pi)/0.75, 2)); y > horizon-0.04 && y < hill { // at the back
			c = land
		}
		tower := away - math.Pi // as far from the middle of the back
		switch {
		case y > horizon && y < 0.42 && math.Abs(tower) < 0.17-0.07*(y+0.35):
			c = hex(0xf3e9d7)
			if int(math.Floor((y+1)/0.16))%2 == 0 {
				c = hex(0xb8392b)
			}
		case y >= 0.42 && y < 0.58 && math.Abs(tower) < 0.1:
			c = lamp
		case y >= 0.58 && y < 0.72 && math.Abs(tower) < 0.16*(0.72-y)/0.14:
			c = hex(0xb8392b)
		}
		for _, boat := range []struct{ at, size float64 }{{-1.35, 1}, {1.5, 0.8}} {
			u, v := (a-boat.at)/boat.size, (y-horizon+0.1)/boat.size
			switch {
			case v > -0.12 && v < 0 && math.Abs(u) < 0.36+1.2*v:
				c = land
			case v >= 0.03 && v < 0.72 && u > 0.03 && u < 0.34*(0.72-v)/0.69:
				c = sail
			case v >= 0.03 && v < 0.6 && u < -0.03 && -u < 0.26*(0.6-v)/0.57:
				c = mix(sail, hex(0xe8763c), 0.35)
			}
		}
		return c
	})
}

// along is the colour at a share of the way through a row of them.
func along(row []rgb, t float64) rgb {
	t = math.Min(1, math.Max(0, t)) * float64(len(row)-1)
	k := min(int(t), len(row)-2)
	return mix(row[k], row[k+1], t-float64(k))
}

// HoneyJar is like a photo: a jar of honey on a table by a window, with soft light, a highlight, a shadow, and the grain of a small camera.
func HoneyJar() *image.NRGBA {
	by := rand.New(rand.NewPCG(2026, 7))
	return drawn(1200, 900, func(x, y float64) rgb {
		c := mix(hex(0xb9c7c4), hex(0x7f8f94), (x+1.2)/2.4+0.2*y) // the wall, lighter towards the window at the left
		if y < -0.45 {
			c = mix(hex(0xa9855e), hex(0x6f4f33), (-y-0.45)/0.6)
			c = mix(c, hex(0x8d6a48), 0.25*math.Sin(40*y+3*math.Sin(2*x))) // its grain
			if shadow := ellipse(x, y, 0.25, -0.66, 0.85, 0.2); shadow < 1 {
				c = mix(hex(0x40301f), c, shadow*shadow)
			}
		}
		c = jar(c, x, y)
		noise := 0.02 * by.NormFloat64()
		return rgb{c.r + noise, c.g + noise, c.b + noise, 1}
	})
}

// jar is the jar, before a ground.
func jar(ground rgb, x, y float64) rgb {
	half := 0.5
	switch {
	case y > 0.68 || y < -0.68:
		return ground
	case y > 0.5: // the lid
		if half = 0.42; math.Abs(x) < half {
			return mix(hex(0xf0e3c8), hex(0x7c6a48), math.Pow(math.Abs(x/half+0.35), 1.5)+0.2*(0.6-y))
		}
		return ground
	case y > 0.36: // the neck
		half = 0.38 + 0.12*(0.5-y)/0.14
	case y < -0.55: // the foot is rounded
		half = 0.5 - 0.1*math.Pow((-0.55-y)/0.13, 2)
	}
	if math.Abs(x) >= half {
		return ground
	}
	side := x / half
	depth := math.Sqrt(1 - side*side) // how much honey the light goes through
	honey := mix(hex(0xf2b53c), hex(0x8a4a10), 0.75*depth+0.35*side-0.3*y-0.2)
	if y > 0.3 {
		honey = mix(honey, hex(0xdfe4da), 0.8) // above the honey
	}
	if math.Abs(y+0.1) < 0.22 && math.Abs(side) < 0.78 { // the label, with a drawn bee's stripes
		honey = mix(hex(0xf4ecd8), hex(0xa99a78), math.Abs(side+0.3))
		if bee := ellipse(x, y, 0, -0.1, 0.17, 0.1); bee < 1 {
			honey = mix(hex(0xe8b32d), hex(0x9a6f14), math.Abs(side))
			if math.Mod(x+1, 0.1) < 0.05 {
				honey = hex(0x2e2519)
			}
		}
	}
	shine := math.Exp(-math.Pow((side+0.62)/0.1, 2)) * math.Min(1, math.Max(0, (0.42-math.Abs(y))*6))
	return mix(honey, hex(0xffffff), 0.75*shine)
}
