package solid

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/shape"
	"tuckring/internal/solid/solidtest"
)

var papers = []figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "brick", Name: "Brick", Hex: "#a63a2b"}}

func TestTry(t *testing.T) {
	for _, s := range []*solidtest.Solid{solidtest.Sphere(150, 96, 48), solidtest.Cylinder(80, 150, 96, 10), solidtest.Cone(150, 200, 96, 10), solidtest.Egg(120, 160, 96, 60)} {
		m, err := Read(s.STL(), nil)
		require.NoError(t, err)
		r, err := Make(m, Options{Title: "t", HeightMM: 160, Papers: papers})
		require.NoError(t, err)
		for _, x := range r.Rings {
			fmt.Printf("%d:%.1f/%d/%.1f ", x.Ring, x.Wanted, x.Units, x.DistanceMM)
		}
		fmt.Println(r.HeightMM, r.MeanDistanceMM)
		for _, f := range findings.Check(r.Figure, shape.FromMemory(r.Figure.Unit)) {
			fmt.Println("  ", f.Level, f.What, f.Fix)
		}
	}
}
