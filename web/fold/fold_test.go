package fold_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/webtest"
)

// A paper that cannot be folded is told as such, with the way to another; how units are tucked is shown all the same. Every picture that
// the page names is there, and no other.
func TestPaperThatCannotBeFoldedIsToldOf(t *testing.T) {
	s, kept := webtest.Keeping(t)
	for name, unit := range map[string]figure.Unit{"square": {LongMM: 50, ShortMM: 50, Fold: figure.Single}, "long": {LongMM: 200, ShortMM: 10, Fold: figure.Single},
		"good": {LongMM: 52, ShortMM: 37, Fold: figure.Doubled}} {
		d, err := kept.Create(t.Context(), figure.Tube("Post", unit, []figure.Colour{{ID: "a", Name: "Sea", Hex: "#0b6e6e"}}, 8, 4))
		require.NoError(t, err)
		base := "/d/" + d.ID
		page := webtest.ReadPage(t, s, base+"/fold", 200)
		assert.Equal(t, name == "good", strings.Contains(page, "Fold both ends down"), name)
		assert.Equal(t, name != "good", strings.Contains(page, "Choose another paper in the report."), name)
		pictures := strings.Split(page, base+"/fold/")[1:]
		assert.Len(t, pictures, 9, name)
		for _, p := range pictures {
			file, _, _ := strings.Cut(p, `"`)
			w := webtest.Ask(t, s, webtest.Get(base+"/fold/"+file))
			assert.Equal(t, 200, w.Code, file)
			assert.Equal(t, "image/svg+xml", w.Header().Get("Content-Type"))
		}
		assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get(base+"/fold/five.svg")).Code)
	}
}
