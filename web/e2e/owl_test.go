package e2e_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/e2e"
)

// modelOwl makes an egg-shaped owl on a phone, as a maker would: a new figure of 18 units and 20 rings, widened
// below and narrowed above, painted with the mirror on, with tucked ears and beak and glued eyes. It gives the
// address of the design.
func modelOwl(t *testing.T, app *e2e.App, maker *e2e.Person) string {
	t.Helper()
	var base string
	at := func(ring, off int) e2e.Point {
		return unitAt(maker, ring, int(besideFront(kept(t, app, base), ring, float64(off))))
	}
	app.KeepDemo(t)
	maker.Open("/")
	maker.Press("New figure")
	maker.Fill("Title", "Owl on the returns desk")
	maker.Fill("Units per ring", "18")
	maker.Fill("Rings", "16")
	maker.Press("Make the figure")
	maker.Until("the editor is there", "document.querySelector('[role=gridcell]')")
	base = maker.Path()

	part(maker, "rings")
	maker.Press("Ring 1, 18 units")
	count(maker, "1", "15", "6", "23")
	maker.Press("Change units per ring")
	settled(maker)
	count(maker, "7", "23", "16", "11")
	maker.Press("Change units per ring")
	settled(maker)
	beside(maker)
	require.Empty(t, kept(t, app, base).Validate())
	for _, paper := range []string{"Chestnut", "Sand", "Sun yellow", "Apricot"} {
		maker.Press("Add a colour")
		maker.Press(paper)
		maker.Finds(paper + ", 0 units")
	}
	maker.Press("Chestnut, 0 units")
	maker.Press("Replace")
	maker.PressAt(at(6, 0))
	maker.Finds("Chalk white, 0 units")
	maker.Press("Symmetry: off")
	maker.Press("Mirror about the front line")
	maker.Press("Sand, 0 units")
	maker.Press("Area")
	maker.Stroke(at(2, 0), at(5, 2), at(8, 4))
	maker.Stroke(at(10, 0), at(11, 2), at(13, 3))
	maker.Press("Brush")
	maker.PressAt(at(14, 1))
	maker.PressAt(at(14, 2))
	settled(maker)

	f := kept(t, app, base)
	part(maker, "extras")
	maker.Sees("This figure has no extras yet.")
	for _, x := range []struct {
		name, paper, kind, size string
		ring                    int
		off                     float64
	}{
		{"Ear tuft", "Chestnut", "", "2", 15, 2.5}, // the mirror is on: there are two of each
		{"Eye", "Sun yellow", "A piece glued on", "34", 12, 1.5},
		{"Pupil", "Soot black", "A piece glued on", "16", 12, 1.3},
		{"Beak", "Apricot", "", "1", 10, 0}, // on the front line it is one
	} {
		maker.Press("Add an extra at the unit in focus")
		maker.Fill("Name", x.name)
		if x.kind != "" {
			maker.Choose("How it is attached", x.kind)
			maker.Fill("Diameter in mm", x.size)
		} else {
			maker.Fill("Units", x.size)
		}
		maker.Choose("Colour", x.paper)
		maker.Fill("Ring", strconv.Itoa(x.ring))
		maker.Fill("Unit in the ring", strconv.FormatFloat(besideFront(f, x.ring, x.off), 'f', -1, 64))
		maker.Press("Add")
		settled(maker)
	}
	beside(maker)
	f = kept(t, app, base)
	assert.Len(t, f.Extras, 7)
	assert.Empty(t, f.Validate())
	return base
}

// besideFront is the place in a ring that stands so many units to the right of the front line, to half a unit,
// as the page counts them, from 1.
func besideFront(f *figure.Figure, ring int, off float64) float64 {
	u := figure.Unroll(f)
	n := float64(len(f.Rings[ring-1].Cells))
	place := (u.FrontTurn()-u.Middle(ring-1, 0))*n + off
	place = math.Mod(math.Round(2*place)/2+2*n, n)
	return place + 1
}
