package figure

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// schema is the document's schema, compiled by a library of somebody else.
var schema = func() *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	if err != nil {
		panic(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("figure.schema.json", doc); err != nil {
		panic(err)
	}
	return c.MustCompile("figure.schema.json")
}()

// fits tells whether a document is as the schema says.
func fits(t require.TestingT, doc []byte) error {
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	require.NoError(t, err)
	return schema.Validate(value)
}

func TestDocumentsFitTheSchema(t *testing.T) {
	files, err := filepath.Glob("../../testdata/shelf/*.json")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 6)
	for _, file := range append(files, "testdata/parts/swan.json") {
		raw, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.NoError(t, fits(t, raw), file)
	}
}

func TestRandomFiguresFitTheSchema(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawParts(t)
		assert.NoError(t, fits(t, f.Write()))
	})
}

// structural are the faults of what a document looks like, whatever stands elsewhere in it: the schema finds them too.
var structural = []string{"figure.wrong_kind", "figure.unknown_field", "figure.missing", "figure.choice", "figure.text.blank", "figure.text.long",
	"figure.text.control", "figure.hex", "figure.sign", "figure.colours.count", "figure.half", "figure.ring1.takes", "figure.ring1.skip", "figure.part.first",
	"figure.part.front", "figure.chain.empty"}

// Documents with something put into the wrong place, of the wrong kind or beyond a limit: what the reader takes fits the schema, and what
// is wrong by its looks alone, neither takes.
func TestTheSchemaAndTheReaderAgree(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/shelf/puffin.tuckring.json")
	require.NoError(t, err)
	bases := [][]byte{raw, []byte(swanText(t))}
	taken, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		var doc any
		require.NoError(t, json.Unmarshal(bases[rapid.IntRange(0, len(bases)-1).Draw(t, "base")], &doc))
		for range rapid.IntRange(1, 2).Draw(t, "changes") {
			doc = upset(t, doc)
		}
		text, err := json.Marshal(doc)
		require.NoError(t, err)
		_, wrong := Read(text)
		verdict := fits(t, text)
		if wrong == nil {
			taken++
			assert.NoError(t, verdict)
			return
		}
		var faults Faults
		require.True(t, errors.As(wrong, &faults))
		if slices.ContainsFunc(faults, func(f Fault) bool { return slices.Contains(structural, f.What.Key) }) {
			refused++
			assert.Error(t, verdict, wrong.Error())
		}
	})
	assert.Positive(t, taken)
	assert.Positive(t, refused)
}

// upset changes something somewhere in a document.
func upset(t *rapid.T, doc any) any {
	switch v := doc.(type) {
	case map[string]any:
		if len(v) == 0 {
			return strange(t)
		}
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		slices.Sort(names)
		name := rapid.SampledFrom(names).Draw(t, "name")
		switch rapid.IntRange(0, 9).Draw(t, "what") {
		case 0:
			delete(v, name)
		case 1:
			v[rapid.SampledFrom([]string{"note", "start", "takes", "skip", "side", "front", "outline", "part", "sign", "bend", "rows", "Title", ""}).Draw(t, "new")] = strange(t)
		case 2:
			v[name] = strange(t)
		default:
			v[name] = upset(t, v[name])
		}
		return v
	case []any:
		if len(v) == 0 || rapid.IntRange(0, 9).Draw(t, "list") == 0 {
			return rapid.SampledFrom([]any{[]any{}, append(slices.Clone(v), v...), append(slices.Clone(v), strange(t))}).Draw(t, "longer")
		}
		k := rapid.IntRange(0, len(v)-1).Draw(t, "at")
		v[k] = upset(t, v[k])
		return v
	}
	return strange(t)
}

func strange(t *rapid.T) any {
	return rapid.SampledFrom([]any{nil, true, "", " ", "x", "long", "short", "doubled", "glued", "disc", "oval", "#00ff00", "#00FF0", "a\tb", strings.Repeat("n", 81),
		strings.Repeat("n", 1001), "K", "chalk", -1.0, 0.0, 0.5, 0.25, 1.0, 2.0, 3.0, 4.0, 5.0, 1000.0, 1001.0, 2000.0, 2001.0, 1e300, []any{}, map[string]any{}, map[string]any{"skip": 1.0},
		map[string]any{"rows": 1.0, "out": 45.0}}).Draw(t, "strange")
}
