package report

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"tuckring/internal/figure"
)

// load reads a document of testdata: the contract's example, or the published figure of 68 units.
func load(t testing.TB, name string) *figure.Figure {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name + ".tuckring.json")
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f
}

// Counted by hand from the contract's example: rings 20 + 20 brick; 17 chalk and 3 soot; 10 brick;
// 9 brick; the gallery rail of 2 soot.
func TestExtrasCountInThePaperToo(t *testing.T) {
	u := Count(load(t, "contract-example"))
	assert.Equal(t, []int{81, 79, 2}, []int{u.Total, u.InRings, u.InExtras})
	assert.Equal(t, []ColourUnit{
		{"brick", "Brick red", 59, 59, 0}, {"chalk", "Chalk", 17, 17, 0}, {"soot", "Soot", 5, 3, 2},
	}, u.ByColour)
	assert.Equal(t, "81 units: 79 in 5 rings, 2 in extras", u.Text(5).String(), "tucked units stand in no ring")
	assert.Equal(t, "68 units in 6 rings", Units{Total: 68, InRings: 68}.Text(6).String())
}

// The Star (Malaysia), 14 March 2012: 5·12 + 8 = 68.
func TestPublishedFigureHas68Units(t *testing.T) {
	assert.Equal(t, 68, Count(load(t, "sixty-eight")).Total)
}

// Contract: a run that crosses the seam is listed once at each end; the short side is no new run.
func TestRunAcrossTheSeamStandsAtEachEnd(t *testing.T) {
	f := load(t, "contract-example")
	assert.Equal(t, Ring{3, 20, []Run{{"chalk", 7}, {"soot", 3}, {"chalk", 10}}}, rings(f)[2])
	f.Rings[0].Cells[4].Side = figure.Short
	assert.Equal(t, Ring{1, 20, []Run{{"brick", 20}}}, rings(f)[0])
}
