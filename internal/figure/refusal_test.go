package figure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of several things that are wrong the same one is named each time.
func TestRefusalIsTheSameEachTime(t *testing.T) {
	long := strings.Repeat("x", MaxNote+1)
	tall := func() (*Figure, Edit) { // rings 4 to 7, doubled and painted on since, cannot be taken back
		f := plain(12, 3)
		undo, _ := do(t, f, &DuplicateRings{Rings: []RingID{1, 2, 3}})
		for id := RingID(4); id < f.NextRing; id++ {
			do(t, f, &Paint{Runs: []PaintRun{{Ring: id, N: 1, Colour: "chalk"}}})
		}
		return f, undo
	}
	for _, c := range []struct {
		name, where, says string
		make              func() (*Figure, Edit)
	}{
		{"two notes", "after", "1000", func() (*Figure, Edit) { return plain(12, 3), &RingNote{Ring: 1, After: long, Note: long} }},
		{"painted rings", "out", "Ring 4", tall},
	} {
		t.Run(c.name, func(t *testing.T) {
			for range 100 {
				f, e := c.make()
				_, _, err := Apply(f, e)
				require.Error(t, err)
				require.Equal(t, c.where, err.(Faults)[0].Where)
				require.Contains(t, err.Error(), c.says)
			}
		})
	}
}

// The contract: a document that breaks a rule is refused whole. Skips that follow one another add up.
func TestSkipsTogetherAreBoundedAsOne(t *testing.T) {
	doc := string(plain(12, 2).Write())
	doc = strings.Replace(doc, `{"runs": [{"n": 12, "colour": "brick"}]}`+"\n", `{"runs": [{"skip": 2000}, {"skip": 1}, {"n": 12, "colour": "brick"}]}`+"\n", 1)
	_, err := Read([]byte(doc))
	require.Error(t, err)
	require.Len(t, err.(Faults), 1)
	assert.Equal(t, "rings[1].runs[1].skip", err.(Faults)[0].Where)
	assert.Contains(t, err.Error(), "2001")
	_, _, err = Apply(plain(12, 2), &Reshape{Ring: 2, Runs: []Run{{Skip: 2000}, {Skip: 1}, {N: 12, Colour: "brick"}}})
	require.Error(t, err)
	assert.Equal(t, "runs[1].skip", err.(Faults)[0].Where)
}
