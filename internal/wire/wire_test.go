package wire

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/shelf"
	"tuckring/internal/store"
)

// bare is the least that a figure can be: a ring of three units of one paper.
const bare = `{"tuckring":1,"title":"Bare","unit":{"long_mm":74,"short_mm":53,"fold":"doubled"},
"colours":[{"id":"a","name":"Chalk","hex":"#f4efe6"}],"rings":[{"runs":[{"n":3,"colour":"a"}]}]}`

func figures(t *testing.T) map[string]*figure.Figure {
	f, err := figure.Read([]byte(bare))
	require.NoError(t, err)
	out := map[string]*figure.Figure{"bare": f}
	for _, demo := range shelf.Demo() {
		out[demo.Name] = demo.Figure
	}
	return out
}

// The page has no word for null: lists are empty, and what may be missing is left out.
func TestNothingTravelsAsNull(t *testing.T) {
	whole := figure.Change{Order: true, Colours: true, Extras: true, Front: true, Title: true, Unit: true}
	for name, f := range figures(t) {
		whole.Rings = f.Keys().Rings
		gauge := shape.FromMemory(f.Unit)
		for what, v := range map[string]any{
			"state":        StateOf(store.Now{Figure: f}, report.TotalsOf(t.Context(), f, report.DefaultSettings())),
			"change":       ChangeOf(f, whole),
			"empty change": ChangeOf(f, figure.Change{}),
			"found":        Found{Findings: findings.Check(f, gauge), Size: shape.Estimate(f, gauge)},
			"scene":        Scene{Scene: shape.Place(f, gauge).Scene(f), About: []string{}},
		} {
			data, err := json.Marshal(v)
			require.NoError(t, err)
			var tree any
			require.NoError(t, json.Unmarshal(data, &tree))
			assert.Empty(t, nulls(tree, ""), "%s of %s", what, name)
		}
	}
}

// nulls are the places in a JSON value where null stands.
func nulls(v any, at string) (out []string) {
	switch v := v.(type) {
	case nil:
		return []string{at}
	case []any:
		for _, item := range v {
			out = append(out, nulls(item, at+"[]")...)
		}
	case map[string]any:
		for key, item := range v {
			out = append(out, nulls(item, at+"."+key)...)
		}
	}
	return out
}

// An extra has its key first, as it always travelled, and only once.
func TestExtraHasItsKey(t *testing.T) {
	f := figures(t)["puffin"]
	require.NotEmpty(t, f.Extras)
	data, err := json.Marshal(extrasOf(f)[0])
	require.NoError(t, err)
	assert.Regexp(t, `^\{"key":1,"kind":"(tucked|glued)","name":"[^"]+",[^}]*\}$`, string(data))
	assert.NotRegexp(t, `"key".*"key"`, string(data))
}

// Colours are told by one letter each, and a figure may have so many.
func TestEveryColourHasALetter(t *testing.T) {
	assert.Len(t, CellLetters, figure.MaxColours)
}
