package sight

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// Lab is a colour in CIE 1976 L*a*b*, L from 0 to 100, for white D65.
type Lab struct{ L, A, B float64 }

// LabOf gives the place of an sRGB colour in L*a*b*.
func LabOf(c colorful.Color) Lab {
	l, a, b := c.Lab()
	return Lab{100 * l, 100 * a, 100 * b}
}

// Difference is the colour difference CIEDE2000 (ΔE00) between two colours: about 1 is the least one
// sees, 100 is black to white. The formula is that of Sharma, Wu, Dalal, Color Research & Application
// 30(1), 2005, equations 2–22, with all weights 1.
func Difference(x, y Lab) float64 {
	c1, c2 := math.Hypot(x.A, x.B), math.Hypot(y.A, y.B)
	mean7 := seventh((c1 + c2) / 2)
	g := 0.5 * (1 - math.Sqrt(mean7/(mean7+pow25to7)))
	a1, a2 := (1+g)*x.A, (1+g)*y.A
	c1, c2 = math.Hypot(a1, x.B), math.Hypot(a2, y.B)
	h1, h2 := hue(a1, x.B), hue(a2, y.B)
	turn, mean := hues(h1, h2, c1*c2 == 0)

	dL, dC := y.L-x.L, c2-c1
	dH := 2 * math.Sqrt(c1*c2) * sin(turn/2)
	l, c := (x.L+y.L)/2, (c1+c2)/2
	t := 1 - 0.17*cos(mean-30) + 0.24*cos(2*mean) + 0.32*cos(3*mean+6) - 0.20*cos(4*mean-63)
	sL := 1 + 0.015*(l-50)*(l-50)/math.Sqrt(20+(l-50)*(l-50))
	sC, sH := 1+0.045*c, 1+0.015*c*t
	c7 := seventh(c)
	bend := (mean - 275) / 25
	rT := -sin(60*math.Exp(-bend*bend)) * 2 * math.Sqrt(c7/(c7+pow25to7))
	return math.Sqrt(dL/sL*(dL/sL) + dC/sC*(dC/sC) + dH/sH*(dH/sH) + rT*(dC/sC)*(dH/sH))
}

const pow25to7 = 6103515625.0 // 25⁷

// seventh is v⁷; pictures compare papers by the hundred thousand, and math.Pow takes many times as long.
func seventh(v float64) float64 {
	cube := v * v * v
	return cube * cube * v
}

// hue is the hue angle in degrees, 0 … 360; 0 for a grey.
func hue(a, b float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

// hues gives the turn from one hue to the other and their mean, in degrees.
func hues(h1, h2 float64, grey bool) (turn, mean float64) {
	if grey {
		return 0, h1 + h2
	}
	turn = h2 - h1
	switch {
	case math.Abs(turn) <= 180:
		return turn, (h1 + h2) / 2
	case turn > 180:
		turn -= 360
	default:
		turn += 360
	}
	if h1+h2 < 360 {
		return turn, (h1 + h2 + 360) / 2
	}
	return turn, (h1 + h2 - 360) / 2
}

func sin(degrees float64) float64 { return math.Sin(degrees * math.Pi / 180) }
func cos(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
