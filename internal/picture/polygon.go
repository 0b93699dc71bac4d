package picture

// point is a place in a plane.
type point struct{ x, y float64 }

// area is that of a polygon by the shoelace formula; its sign tells which way around it goes.
func area(poly []point) float64 {
	sum := 0.0
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		sum += a.x*b.y - b.x*a.y
	}
	return sum / 2
}

// clipTo keeps what of a polygon lies where a·x + b·y ≤ c: Sutherland and Hodgman, Reentrant Polygon Clipping, CACM 17(1), 1974,
// for one edge. Edges that run along the cut twice, to and fro, enclose nothing, so that areas and integrals stay right for polygons that
// are not convex.
func clipTo(out, poly []point, a, b, c float64) []point {
	out = out[:0]
	for i, q := range poly {
		p := poly[(i+len(poly)-1)%len(poly)]
		was, is := a*p.x+b*p.y-c, a*q.x+b*q.y-c
		if (was <= 0) != (is <= 0) {
			t := was / (was - is)
			out = append(out, point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)})
		}
		if is <= 0 {
			out = append(out, q)
		}
	}
	return out
}

// clipper cuts polygons with two buffers.
type clipper struct{ a, b []point }

// strip keeps what lies between two values of x, or of y when upright is false.
func (c *clipper) strip(poly []point, low, high float64, x bool) []point {
	dx, dy := 1.0, 0.0
	if !x {
		dx, dy = 0, 1
	}
	c.a = clipTo(c.a, poly, dx, dy, high)
	c.b = clipTo(c.b, c.a, -dx, -dy, -low)
	return c.b
}

// within tells the least and the greatest x and y.
func within(poly []point) (low, high point) {
	low, high = poly[0], poly[0]
	for _, p := range poly[1:] {
		low.x, low.y, high.x, high.y = min(low.x, p.x), min(low.y, p.y), max(high.x, p.x), max(high.y, p.y)
	}
	return low, high
}
