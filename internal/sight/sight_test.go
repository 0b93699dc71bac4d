package sight

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
)

// The published pairs of Sharma, Wu, Dalal, Color Research & Application 30(1), 2005, Table 1, to the
// last printed digit.
func TestDifferenceMatchesThePublishedPairs(t *testing.T) {
	file, err := os.Open("testdata/ciede2000.csv")
	require.NoError(t, err)
	defer file.Close()
	pairs := 0
	for lines := bufio.NewScanner(file); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") || lines.Text() == "" {
			continue
		}
		var v [7]float64
		for i, s := range strings.Split(lines.Text(), ",") {
			v[i], err = strconv.ParseFloat(strings.TrimSpace(s), 64)
			require.NoError(t, err)
		}
		a, b := Lab{v[0], v[1], v[2]}, Lab{v[3], v[4], v[5]}
		assert.InDelta(t, v[6], Difference(a, b), 0.00005, lines.Text())
		assert.InDelta(t, v[6], Difference(b, a), 0.00005, "the other way round: %s", lines.Text())
		pairs++
	}
	assert.Equal(t, 34, pairs, "the table has 34 pairs")
}

// The primaries and white of sRGB in L*a*b* for white D65: the chromaticities and the transfer function of IEC 61966-2-1, put into the formulas
// of CIE 15:2004 (values as tables give them to two decimals, from memory). Half of full sRGB is 0.21404 of full light (IEC 61966-2-1, 5.2).
func TestPrimariesOfSRGBStandWhereCIEPutsThem(t *testing.T) {
	for hexColour, want := range map[string]Lab{
		"#ff0000": {53.24, 80.09, 67.20}, "#00ff00": {87.73, -86.18, 83.18}, "#0000ff": {32.30, 79.19, -107.86},
		"#ffffff": {100, 0, 0}, "#000000": {0, 0, 0}, "#ffff00": {97.14, -21.55, 94.48},
	} {
		got := LabOf(hex(t, hexColour))
		assert.InDelta(t, want.L, got.L, 0.02, hexColour)
		assert.InDelta(t, want.A, got.A, 0.04, hexColour)
		assert.InDelta(t, want.B, got.B, 0.04, hexColour)
	}
	r, _, _ := colorful.Color{R: 0.5}.LinearRgb()
	assert.InDelta(t, 0.21404, r, 0.00001)
}

// Published check values, from the tests of the library ColorAide: see the file. What cannot be shown is
// clipped. The conversion to linear light differs a little between libraries, hence a tenth of a step.
func TestColourBlindSightMatchesPublishedValues(t *testing.T) {
	file, err := os.Open("testdata/machado2009.csv")
	require.NoError(t, err)
	defer file.Close()
	rows := 0
	for lines := bufio.NewScanner(file); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		row := strings.Split(lines.Text(), ", ")
		require.Len(t, row, 5, lines.Text())
		c, err := colorful.Hex(row[1])
		require.NoError(t, err)
		seen := Vision(row[0]).As(c)
		for i, v := range []float64{seen.R, seen.G, seen.B} {
			want, err := strconv.ParseFloat(row[2+i], 64)
			require.NoError(t, err)
			assert.InDelta(t, max(0, min(255, want)), 255*v, 0.1, lines.Text())
		}
		rows++
	}
	assert.Equal(t, 14, rows, "seven colours, seen by two kinds of eyes")
}

// Greys stay grey to any eyes (property of the model: its rows sum to 1).
func TestGreysLookTheSameToAllEyes(t *testing.T) {
	for _, v := range Visions {
		for _, hex := range []string{"#000000", "#404040", "#808080", "#ffffff"} {
			c, _ := colorful.Hex(hex)
			assert.Less(t, Difference(LabOf(c), LabOf(v.As(c))), 0.05, "%s %s", v, hex)
		}
	}
}

// Red and green confuse both kinds of eyes far more than full sight; blue and yellow stay clear
// (common knowledge of colour blindness).
func TestRedAndGreenComeCloseBlueAndYellowDoNot(t *testing.T) {
	between := func(v Vision, x, y string) float64 {
		a, _ := colorful.Hex(x)
		b, _ := colorful.Hex(y)
		return Difference(LabOf(v.As(a)), LabOf(v.As(b)))
	}
	const olive, rust, blue, yellow = "#7a7a1e", "#a5601e", "#2050c0", "#f0d020"
	for _, v := range []Vision{Deuteranopia, Protanopia} {
		assert.Less(t, between(v, olive, rust), between(Full, olive, rust)/2, v)
		assert.Greater(t, between(v, blue, yellow), 50.0, v)
	}
}

func TestAlikeFindsOnlyPapersThatTouch(t *testing.T) {
	f, err := figure.Read([]byte(`{"tuckring":1,"title":"t","unit":{"long_mm":52,"short_mm":37},
		"colours":[{"id":"a","name":"Sand","hex":"#d8c8a0"},{"id":"b","name":"Straw","hex":"#dccb9c"},{"id":"c","name":"Soot","hex":"#202020"},{"id":"d","name":"Ash","hex":"#242424"}],
		"rings":[{"runs":[{"n":6,"colour":"a"}]},{"runs":[{"n":6,"colour":"b"}]},{"runs":[{"n":6,"colour":"c"}]},{"runs":[{"n":6,"colour":"a"}]},{"runs":[{"n":6,"colour":"d"}]}],"front":0}`))
	require.NoError(t, err)
	pairs := Alike(f)
	require.Len(t, pairs, 1, "soot and ash are as alike, but do not touch")
	p := pairs[0]
	assert.Equal(t, [3]int{0, 1, 12}, [3]int{p.A, p.B, p.Touching}, "each of the 6 units of a plain ring touches 2 below")
	assert.Equal(t, Full, p.Vision)
}

func TestDemoPapersCanBeToldApart(t *testing.T) {
	for _, d := range shelf.Demo() {
		for _, p := range Alike(d.Figure) {
			t.Errorf("%s: %s and %s (%.1f)", d.Name, d.Figure.Colours[p.A].Name, d.Figure.Colours[p.B].Name, p.Difference)
		}
	}
}

func BenchmarkAlikeLargest(b *testing.B) {
	f := shelf.Demo()[0].Figure
	for b.Loop() {
		Alike(f)
	}
}
