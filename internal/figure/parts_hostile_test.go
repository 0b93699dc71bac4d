package figure

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Numbers from outside that no part can have are refused, wherever they stand in an edit, and the figure is as it was. What
// can be is carried out, and then the figure keeps all rules and the inverse takes it back to the byte.
func TestHostileNumbersInEditsOfParts(t *testing.T) {
	doc, err := os.ReadFile("testdata/parts/swan.json")
	require.NoError(t, err)
	for _, body := range []string{
		`{"do":"grow","on":%s,"point":0,"as":"chain","rows":3,"colour":"chalk","name":"Neck"}`,
		`{"do":"grow","on":2,"point":%s,"as":"wing","units":3,"rows":3,"colour":"chalk","name":"Fin"}`,
		`{"do":"grow","on":3,"point":0,"as":"tube","units":%s,"rows":3,"colour":"chalk","name":"Ear"}`,
		`{"do":"grow","on":3,"point":36,"as":"strip","units":2,"rows":%s,"colour":"chalk","name":"Tail"}`,
		`{"do":"set_on","on":%s,"how":"glued","name":"Hat","colour":"chalk","units":6,"rows":2}`,
		`{"do":"set_on","on":3,"at":%s,"how":"glued","name":"Hat","colour":"chalk","units":6,"rows":2}`,
		`{"do":"set_on","on":3,"how":"pushed","tilt":%s,"name":"Hat","colour":"chalk","units":6,"rows":2}`,
		`{"do":"set_on","on":3,"how":"pushed","name":"Hat","colour":"chalk","units":%s,"rows":2}`,
		`{"do":"set_on","on":3,"how":"pushed","name":"Hat","colour":"chalk","units":6,"rows":%s}`,
		`{"do":"set_on","on":3,"how":"pushed","name":"Hat","colour":"chalk","front":%s,"rings":[{"id":1,"runs":[{"n":6,"colour":"chalk"}]}]}`,
		`{"do":"set_on","on":3,"how":"pushed","name":"Hat","colour":"chalk","rings":[{"id":1,"runs":[{"n":%s,"colour":"chalk"}]}]}`,
		`{"do":"set_on","on":3,"how":"pushed","name":"Hat","colour":"chalk","rings":[{"id":1,"runs":[{"n":6,"colour":"chalk"}]},{"id":2,"start":%s,"runs":[{"n":6,"colour":"chalk"}]}]}`,
		`{"do":"add_twin","part":%s,"name":"Other"}`,
		`{"do":"move_part","part":%s,"on":3,"point":40}`,
		`{"do":"move_part","part":2,"on":%s,"point":40}`,
		`{"do":"move_part","part":2,"on":3,"point":%s}`,
		`{"do":"edit_part","part":%s,"name":"Other"}`,
		`{"do":"edit_part","part":2,"name":"Other","front":%s}`,
		`{"do":"edit_part","part":2,"name":"Other","bend":[{"rows":%s,"out":5}]}`,
		`{"do":"edit_part","part":2,"name":"Other","bend":[{"rows":2,"out":%s}]}`,
		`{"do":"edit_part","part":2,"name":"Other","bend":[{"rows":2,"right":%s}]}`,
		`{"do":"remove_part","part":%s}`,
		`{"do":"take_out_part","part":%s}`,
		`{"do":"put_part","part":%s}`,
	} {
		for _, n := range []string{"-1", "0", "1", "2", "65", "1001", "100001", "1e308", "-9223372036854775808", "9223372036854775807", "0.5", "null", `"x"`, "[]", "{}"} {
			raw := fmt.Sprintf(body, n)
			e, err := DecodeEdit([]byte(raw))
			if err != nil {
				require.ErrorAs(t, err, new(Faults), raw)
				continue
			}
			f, err := Read(doc)
			require.NoError(t, err)
			before, keys := string(f.Write()), f.Keys()
			_ = Label(f, e)
			require.Less(t, Work(f, e), 50_000_000, raw)
			back, _, err := Apply(f, e)
			if err != nil {
				require.ErrorAs(t, err, new(Faults), raw)
				require.Equal(t, keys, f.Keys(), raw)
			} else {
				require.Empty(t, f.Validate(), raw)
				_, _, err = Apply(f, back)
				require.NoError(t, err, raw)
			}
			require.Equal(t, before, string(f.Write()), raw)
		}
	}
}

// What only the log holds of parts cannot be sent, however deep in a batch.
func TestWhatOnlyTheLogHoldsOfPartsCannotBeSent(t *testing.T) {
	for _, raw := range []string{`{"do":"put_part","part":{"id":2}}`, `{"do":"take_out_part","part":{"id":2}}`} {
		for _, sent := range []string{raw, `{"do":"batch","edits":[{"do":"batch","edits":[` + raw + `]}]}`} {
			_, err := DecodeEdit([]byte(sent))
			assert.ErrorContains(t, err, "do:", sent)
		}
	}
}

// Sixty-four parts are as many as a figure has; the next is refused with the number.
func TestMorePartsThanAFigureHasAreRefused(t *testing.T) {
	f := plain(400, 2)
	on := f.Rings[1].ID
	for k := range MaxParts - 1 {
		do(t, f, &Grow{On: on, Point: 2 * k, As: AsChain, Rows: 1, Colour: f.Colours[0].ID, Name: fmt.Sprint("Spine ", k)})
	}
	before := string(f.Write())
	_, _, err := Apply(f, &Grow{On: on, Point: 300, As: AsChain, Rows: 1, Colour: f.Colours[0].ID, Name: "One more"})
	assert.ErrorContains(t, err, "64")
	_, _, err = Apply(f, &AddTwin{Part: f.Parts[1].ID, Name: "One more"})
	assert.ErrorContains(t, err, "64")
	assert.Equal(t, before, string(f.Write()))
}
