package figure

import (
	"encoding/json"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The edits of this file are such as nobody's page sends: numbers at the ends of their types, and kinds
// that only the log holds. Each of them ended the server, or shut a figure for good, or would have.

func TestNumbersAtTheEndsOfTheirTypesAreRefused(t *testing.T) {
	for _, n := range []int64{math.MaxInt64, math.MaxInt64 - 1, math.MinInt64, math.MinInt64 + 1, math.MaxInt32 + 1, 1 << 53, -1} {
		for _, body := range []string{
			`{"do":"reshape","ring":2,"runs":[{"n":1,"colour":"chalk"},{"n":%d,"colour":"chalk"}]}`,
			`{"do":"reshape","ring":2,"runs":[{"skip":%d},{"n":12,"colour":"chalk"}]}`,
			`{"do":"reshape","ring":2,"start":%d,"runs":[{"n":12,"colour":"chalk"}]}`,
			`{"do":"reshape","ring":1,"start":%d,"runs":[{"n":12,"colour":"chalk"}]}`,
			`{"do":"leave_out","ring":2,"at":%d,"n":1}`,
			`{"do":"leave_out","ring":2,"at":1,"n":%d}`,
			`{"do":"leave_free","ring":2,"unit":0,"points":%d}`,
			`{"do":"leave_free","ring":2,"unit":%d,"points":1}`,
			`{"do":"take","ring":2,"unit":%d,"takes":3}`,
			`{"do":"take","ring":2,"unit":1,"takes":%d}`,
			`{"do":"fill_in","ring":2,"unit":%d}`,
			`{"do":"set_count","rings":[2],"units":%d}`,
			`{"do":"set_count","rings":[2,3],"units":12,"top":%d}`,
			`{"do":"set_counts","counts":[{"ring":2,"units":%d}]}`,
			`{"do":"turn","rings":[%d],"by":1}`,
			`{"do":"duplicate_rings","rings":[%d]}`,
			`{"do":"remove_rings","rings":[%d]}`,
			`{"do":"move_rings","rings":[2],"above":%d}`,
			`{"do":"insert_ring","above":%d,"colour":"chalk"}`,
			`{"do":"insert_ring","above":1,"colour":"chalk","count":%d}`,
			`{"do":"paint","runs":[{"ring":1,"at":%d,"n":1,"colour":"chalk"}]}`,
			`{"do":"paint","runs":[{"ring":1,"at":1,"n":%d,"colour":"chalk"}]}`,
			`{"do":"paint","runs":[{"ring":%d,"at":1,"n":1,"colour":"chalk"}]}`,
			`{"do":"set_front","front":%d}`,
			`{"do":"set_unit","long_mm":%d,"short_mm":10,"fold":"doubled"}`,
			`{"do":"add_extra","extra":{"kind":"tucked","name":"ear","colour":"chalk","units":%d,"ring":1,"at":0}}`,
			`{"do":"add_extra","extra":{"kind":"tucked","name":"ear","colour":"chalk","units":1,"ring":%d,"at":0}}`,
			`{"do":"add_extra","extra":{"kind":"tucked","name":"ear","colour":"chalk","units":1,"ring":1,"at":%d}}`,
		} {
			raw := fmt.Sprintf(body, n)
			if n == -1 && strings.Contains(body, `"ring":2,"start"`) {
				continue // the contract's way to say: the last point
			}
			t.Run(raw, func(t *testing.T) {
				e, err := DecodeEdit([]byte(raw))
				if err != nil {
					return
				}
				f := plain(12, 4)
				before := f.Clone()
				_ = Label(f, e) // the store asks for it before it carries the edit out
				_, _, err = Apply(f, e)
				require.Error(t, err)
				assert.Equal(t, before, f, "a refused edit must leave the figure as it was")
			})
		}
	}
	// A number that is no reason to refuse, since it is only cut to what there is.
	f := plain(12, 4)
	_, _, err := Apply(f, &Turn{Rings: []RingID{2}, By: 2*MaxUnits + 1})
	require.Error(t, err)
}

// A sum of units that overflowed let a ring grow until the memory was gone.
func TestTwoRunsWhoseSumOverflowsTakeNoMemory(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	e, err := DecodeEdit([]byte(`{"do":"reshape","ring":2,"runs":[{"n":1,"colour":"chalk"},{"n":9223372036854775807,"colour":"chalk"}]}`))
	require.NoError(t, err)
	_, _, err = Apply(plain(12, 4), e)
	assert.ErrorContains(t, err, "runs[1].n")
	runtime.ReadMemStats(&after)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8<<20), "bytes allocated for a refusal")
}

func TestWhatOnlyTheLogHoldsCannotBeSent(t *testing.T) {
	f := plain(12, 3)
	become, err := json.Marshal(&Become{Document: string(f.Write()), Keys: Keys{Rings: []RingID{1, 2, 3}, NextRing: math.MaxInt64, NextExtra: 1}})
	require.NoError(t, err)
	become = []byte(`{"do":"become",` + string(become[1:]))
	splice := []byte(`{"do":"splice","after":1,"out":[],"in":[]}`)
	for _, raw := range [][]byte{become, splice,
		[]byte(`{"do":"batch","edits":[` + string(become) + `]}`),
		[]byte(`{"do":"batch","edits":[{"do":"batch","edits":[` + string(splice) + `]}]}`),
	} {
		_, err := DecodeEdit(raw)
		assert.ErrorContains(t, err, "do:", "%s", raw)
	}
	// The log reads them, and holds identities to what can be told apart.
	e, err := UnpackEdit(become)
	require.NoError(t, err)
	_, _, err = Apply(f, e)
	require.ErrorContains(t, err, "keys")
	assert.EqualValues(t, 4, f.NextRing)
}

func TestASpliceOfAllRingsIsRefused(t *testing.T) {
	f := plain(12, 2)
	before := f.Clone()
	_, _, err := Apply(f, &Splice{Out: []RingState{f.ringState(&f.Rings[0]), f.ringState(&f.Rings[1])}})
	require.Error(t, err)
	assert.Equal(t, before, f)
}

// Identities that have come to their end are refused one by one; what was there stays readable.
func TestTheLastIdentityLeavesTheFigureReadable(t *testing.T) {
	f := plain(12, 2)
	k := f.Keys()
	k.NextRing, k.NextExtra = maxIdentity-1, maxIdentity-1
	require.NoError(t, f.SetKeys(k))
	ring := &InsertRing{Above: 1, Colour: f.Colours[0].ID}
	extra := &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Diameter: 5, Ring: 1}}
	for range 3 {
		_, _, _ = Apply(f, ring)
		_, _, _ = Apply(f, extra)
		g, err := Read(f.Write())
		require.NoError(t, err)
		require.NoError(t, g.SetKeys(f.Keys()))
	}
	assert.Len(t, f.Rings, 3, "one more identity was left")
	_, _, err := Apply(f, ring)
	assert.ErrorContains(t, err, "told apart")
}

func TestFaultsAreListedUpToAHundred(t *testing.T) {
	var b strings.Builder
	b.WriteString(`{"tuckring":1,"title":"Jar","unit":{"long_mm":52,"short_mm":37},"colours":[{"id":"a","name":"A","hex":"#aaaaaa"}],"rings":[{"runs":[{"n":3,"colour":"a"}]}]`)
	for i := range 250 {
		fmt.Fprintf(&b, `,"field%d%s":0`, i, strings.Repeat("x", 500))
	}
	b.WriteString("}")
	_, err := Read([]byte(b.String()))
	var faults Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 101)
	assert.Equal(t, 250, faults.Count())
	assert.Equal(t, "There are 150 more faults. Fix these first; then the rest is shown.", faults[100].Error())
	assert.Less(t, len(err.Error()), 101*400, "names from outside are cut")
	_, err = Read([]byte(strings.Replace(`{"tuckring":1,"title":"Jar","unit":{"long_mm":52,"short_mm":37},"colours":[{"id":"a","name":"A","hex":"#aaaaaa"}],"rings":[{"runs":[{"n":3,"colour":"a"}]}],"x":0}`, `"x"`, `"y"`, 1)))
	require.ErrorAs(t, err, &faults)
	assert.Equal(t, 1, faults.Count())
	assert.Len(t, faults, 1)
}
