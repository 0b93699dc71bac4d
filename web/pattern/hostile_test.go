package pattern_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/webtest"
)

// Through a link to paint together somebody sends what no page of ours sends. Each of these once ended
// the server or shut the whole shelf; now each is refused under its number, and all goes on.
func TestStepsThatNoPageSendsLeaveTheShelfOpen(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	become := `{"do":"become","document":"{}","keys":{"rings":[1,2,3,4,5],"extras":[1,2],"next_ring":9223372036854775807,"next_extra":9223372036854775807}}`
	hostile := []string{
		`{"do":"reshape","ring":2,"runs":[{"n":1,"colour":"brick"},{"n":9223372036854775807,"colour":"brick"}]}`,
		`{"do":"reshape","ring":1,"start":-1,"runs":[{"n":20,"colour":"brick"}]}`,
		`{"do":"leave_out","ring":2,"at":9223372036854775807,"n":1}`,
		`{"do":"splice","out":[{"id":1,"runs":[]},{"id":2,"runs":[]},{"id":3,"runs":[]},{"id":4,"runs":[]},{"id":5,"runs":[]}]}`,
		become,
		`{"do":"batch","edits":[` + become + `]}`,
		`{"do":"insert_ring","above":9223372036854775807,"colour":"brick"}`,
		`{"do":"turn","rings":[1],"by":9223372036854775807}`,
		`{"do":"undo","rev":9223372036854775807}`,
		`{"do":"restore","rev":9223372036854775807}`,
		`{"do":"restore","rev":-9223372036854775808}`,
		`{"do":"` + strings.Repeat("x", 100_000) + `"}`,
		`{"do":"paint","` + strings.Repeat("x", 100_000) + `":1}`,
		`[]`, `null`, `7`,
	}
	answer := webtest.Edit(t, s, "/e/"+link.Token, 'h', 1, hostile...)
	require.Len(t, answer.Results, len(hostile))
	for i, r := range answer.Results {
		require.NotNil(t, r.Refused, hostile[i][:min(len(hostile[i]), 90)])
		assert.NotEmpty(t, r.Refused.What)
		assert.Less(t, len(r.Refused.What)+len(r.Refused.Where), 500)
	}
	for _, path := range []string{"/", "/away", "/d/" + d.ID, "/e/" + link.Token} {
		assert.Equal(t, http.StatusOK, webtest.Ask(t, s, webtest.Get(path)).Code, path)
	}
	next := webtest.Edit(t, s, "/e/"+link.Token, 'h', len(hostile)+1, `{"do":"insert_ring","above":5,"colour":"brick"}`)
	assert.Nil(t, next.Results[0].Refused)
}
