package kernel_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web"
	"tuckring/web/webtest"
)

func TestALinkThatWorksWithoutEndIsHeldUpAndLosesNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	s.App.LimitWork(1, 20_000)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	other, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	send := func(base string, person byte, seq int) (int, http.Header) {
		w := webtest.Ask(t, s, webtest.By(person, webtest.Sending(base+"/edits", fmt.Sprintf(`{"client":%q,"steps":[{"seq":%d,"edit":{"do":"paint","runs":[{"ring":1,"at":%d,"n":1,"colour":%q}]}}]}`,
			webtest.TestPage, seq, seq%20, []string{"soot", "chalk"}[seq/20%2]))))
		return w.Code, w.Header()
	}
	seq, code, head := 0, 200, http.Header{}
	for code == 200 {
		seq++
		require.Less(t, seq, 100, "it is held up")
		code, head = send("/e/"+link.Token, 'g', seq)
	}
	require.Equal(t, 429, code) // RFC 6585, 4
	assert.NotEmpty(t, head.Get("Retry-After"))
	assert.Greater(t, seq, 10)
	before, _, err := kept.Get(t.Context(), d.ID)
	require.NoError(t, err)
	assert.EqualValues(t, seq-1, before.Rev, "what was answered is kept, and nothing else was done")

	form := webtest.Ask(t, s, webtest.By('g', webtest.Post("/e/"+link.Token+"/check/undo", nil)))
	assert.Equal(t, 429, form.Code)
	assert.Contains(t, form.Body.String(), "Nothing of it was done")
	code, _ = send("/e/"+other.Token, 'o', 1)
	assert.Equal(t, 200, code, "others go on")
	code, _ = send("/d/"+d.ID, 'm', 1)
	assert.Equal(t, 200, code, "and so does the maker")
	assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get("/e/"+link.Token+"/state")).Code, "who waits still sees everything")

	s.App.LimitWork(0, 0) // time has gone by
	code, _ = send("/e/"+link.Token, 'g', seq)
	assert.Equal(t, 200, code, "the step that waited is taken under its number")
}

// Edits that are quickly sent and done keep much on the disk when what they take away must come back by undo.
func TestALinkFillsTheDiskOnlySoFast(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tuckring.db")
	kept, err := store.Open(t.Context(), path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: webtest.Quiet()})
	const units, rings, most = 100, 300, 2_000_000
	s.App.LimitWork(0.001, most)
	f, err := figure.Read([]byte(webtest.TubeOf(units, rings)))
	require.NoError(t, err)
	var ids []figure.RingID
	for r, ring := range f.Rings {
		ids = append(ids, ring.ID)
		for i := range ring.Cells {
			f.Rings[r].Cells[i].Colour = uint8(i * (r + 2) / 3 % 3) //nolint:gosec // below 3
		}
	}
	d, err := kept.Create(t.Context(), f)
	require.NoError(t, err)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	all, err := json.Marshal(ids)
	require.NoError(t, err)
	seq, code := 0, 200
	for code == 200 {
		seq++
		require.Less(t, seq, 100, "it is held up")
		w := webtest.Ask(t, s, webtest.By('g', webtest.Sending("/e/"+link.Token+"/edits",
			fmt.Sprintf(`{"client":%q,"steps":[{"seq":%d,"edit":{"do":"set_count","rings":%s,"units":%d}}]}`, webtest.TestPage, seq, all, units-seq%2))))
		code = w.Code
	}
	require.Equal(t, 429, code)
	require.Greater(t, seq, 2)
	db, err := sql.Open("sqlite3", path)
	require.NoError(t, err)
	var sum, largest float64
	require.NoError(t, db.QueryRow(`SELECT sum(length(edit) + length(inverse)), max(length(edit) + length(inverse)) FROM steps`).Scan(&sum, &largest))
	require.NoError(t, db.Close())
	assert.LessOrEqual(t, sum, 4*most+largest, "4 bytes for each unit of work that it may do, and the step that went over it")
}

func TestWordOfHandsIsBounded(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	here := func(base, name string) int {
		return webtest.Ask(t, s, webtest.By('g', webtest.Sending(base+"/here", fmt.Sprintf(`{"client":%q,"name":%q,"ring":1,"unit":2}`, webtest.TestPage, name)))).Code
	}
	assert.Equal(t, 413, here("/d/"+d.ID, strings.Repeat("long ", 1000)))
	s.App.LimitHands(0.001, 5)
	var codes []int
	for range 7 {
		codes = append(codes, here("/e/"+link.Token, "Jon"))
	}
	assert.Equal(t, []int{204, 204, 204, 204, 204, 429, 429}, codes)
	assert.Equal(t, 204, here("/d/"+d.ID, "Mira"))
}
