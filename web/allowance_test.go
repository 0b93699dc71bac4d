package web

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// Eight people draw as fast as a screen paints, sixty strokes a second of twenty units each, and each fills all
// units of the largest figure once a second over: for an hour nobody is held up. Undoing by all of them does not either.
func TestOrdinaryPaintingIsNeverHeldUp(t *testing.T) {
	a := allowance{limit: workLimit}
	now := time.Date(2026, 11, 26, 12, 0, 0, 0, time.UTC)
	for second := range 3600 {
		for range 8 * 60 {
			a.take("link", stepWork+20, now)
		}
		for range 6 {
			a.take("link", stepWork+figure.MaxAllUnits, now)
		}
		require.Zero(t, a.wait("link", now), "after %d s", second)
		now = now.Add(time.Second)
	}
}

func TestAnAllowanceFillsAgain(t *testing.T) {
	a := allowance{limit: limit{perSecond: 10, most: 100}}
	now := time.Date(2026, 11, 26, 12, 0, 0, 0, time.UTC)
	a.take("one", 149, now)
	assert.Equal(t, 5*time.Second, a.wait("one", now), "49 too many and the first of the next, 10 a second")
	assert.Zero(t, a.wait("two", now), "each link has its own")
	assert.Equal(t, 5*time.Second, a.wait("one", now.Add(-time.Hour)), "a clock that is put back changes nothing")
	assert.Zero(t, a.wait("one", now.Add(-time.Hour).Add(5*time.Second)))
	for i := range 10 * keepAskers {
		a.wait(fmt.Sprint(i), now.Add(2*time.Hour))
	}
	assert.LessOrEqual(t, len(a.of), keepAskers+1)
}

func TestALinkThatWorksWithoutEndIsHeldUpAndLosesNothing(t *testing.T) {
	s, kept := keeping(t)
	s.work.limit = limit{perSecond: 1, most: 20_000}
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	other, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	send := func(base string, person byte, seq int) (int, http.Header) {
		w := ask(t, s, by(person, sending(base+"/edits", fmt.Sprintf(`{"client":%q,"steps":[{"seq":%d,"edit":{"do":"paint","runs":[{"ring":1,"at":%d,"n":1,"colour":%q}]}}]}`,
			testPage, seq, seq%20, []string{"soot", "chalk"}[seq/20%2]))))
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

	form := ask(t, s, by('g', post("/e/"+link.Token+"/check/undo", nil)))
	assert.Equal(t, 429, form.Code)
	assert.Contains(t, form.Body.String(), "Nothing of it was done")
	code, _ = send("/e/"+other.Token, 'o', 1)
	assert.Equal(t, 200, code, "others go on")
	code, _ = send("/d/"+d.ID, 'm', 1)
	assert.Equal(t, 200, code, "and so does the maker")
	assert.Equal(t, 200, ask(t, s, get("/e/"+link.Token+"/state")).Code, "who waits still sees everything")

	s.work.limit = workLimit // time has gone by
	s.work.of = nil
	code, _ = send("/e/"+link.Token, 'g', seq)
	assert.Equal(t, 200, code, "the step that waited is taken under its number")
}

func TestWordOfHandsIsBounded(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	here := func(base, name string) int {
		return ask(t, s, by('g', sending(base+"/here", fmt.Sprintf(`{"client":%q,"name":%q,"ring":1,"unit":2}`, testPage, name)))).Code
	}
	assert.Equal(t, 413, here("/d/"+d.ID, strings.Repeat("long ", 1000)))
	s.hands.limit = limit{perSecond: 0.001, most: 5}
	var codes []int
	for range 7 {
		codes = append(codes, here("/e/"+link.Token, "Jon"))
	}
	assert.Equal(t, []int{204, 204, 204, 204, 204, 429, 429}, codes)
	assert.Equal(t, 204, here("/d/"+d.ID, "Mira"))
}

func TestOnlySoManyStreamsOfOneLink(t *testing.T) {
	_, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	home := running(t, kept, 0)
	open := func(base string) int {
		stream, err := http.Get(home + base + "/events?since=0")
		require.NoError(t, err)
		t.Cleanup(func() { _ = stream.Body.Close() })
		return stream.StatusCode
	}
	opened := 0
	for open("/v/"+link.Token) == 200 {
		opened++
		require.Less(t, opened, 200)
	}
	assert.Equal(t, 96, opened)
	assert.Equal(t, 429, open("/v/"+link.Token))
	assert.Equal(t, 200, open("/d/"+d.ID), "the maker is never kept out")
}
