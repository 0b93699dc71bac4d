package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/report"
	"tuckring/internal/store"
)

var costlyPages = []string{"/check", "/findings", "/report", "/report.json", "/report.xlsx", "/report/parts.csv", "/list", "/cut", "/kits?people=2", "/build"}

func TestCostlyPagesAreKeptUntilTheFigureChanges(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	for i, path := range costlyPages {
		if path == "/report/parts.csv" {
			path = "/report/" + tableKey(t, kept, d.ID) + ".csv"
		}
		base := "/d/" + d.ID
		first := ask(t, s, get(base+path))
		require.Equal(t, 200, first.Code, path)
		tag := first.Header().Get("ETag")
		require.NotEmpty(t, tag, path)
		second := ask(t, s, get(base+path))
		assert.Equal(t, first.Body.Bytes(), second.Body.Bytes(), path)
		assert.Equal(t, first.Header(), second.Header(), path)
		assert.Equal(t, 304, ask(t, s, asking(base+path, "If-None-Match", tag)).Code, path)
		guest := ask(t, s, get("/e/"+link.Token+path))
		assert.NotContains(t, guest.Body.String(), base, "%s: each sees their own addresses", path)
		edit(t, s, base, 'm', int(revOf(t, kept, d.ID))+1, `{"do":"set_title","title":"Tower `+fmt.Sprint(i)+`"}`)
		changed := ask(t, s, asking(base+path, "If-None-Match", tag))
		require.Equal(t, 200, changed.Code, path)
		assert.NotEqual(t, tag, changed.Header().Get("ETag"), path)
		require.NoError(t, kept.SetSettings(t.Context(), d.ID, fmt.Appendf(nil, `{"people":%d}`, 2+i)))
		assert.Equal(t, 200, ask(t, s, asking(base+path, "If-None-Match", changed.Header().Get("ETag"))).Code, path)
	}
	assert.Equal(t, 422, ask(t, s, get("/d/"+d.ID+"/kits?people=none")).Code, "a refusal is a page, but not kept")
	assert.Equal(t, 404, ask(t, s, get("/d/"+d.ID+"/report/none.csv")).Code)
	assert.Equal(t, 404, ask(t, s, get("/d/none/report")).Code)
}

func revOf(t *testing.T, kept *store.Store, id string) int64 {
	t.Helper()
	d, _, err := kept.Get(t.Context(), id)
	require.NoError(t, err)
	return d.Rev
}

// tableKey is the key of some table of the report.
func tableKey(t *testing.T, kept *store.Store, id string) string {
	t.Helper()
	_, f, err := kept.Get(t.Context(), id)
	require.NoError(t, err)
	made, err := report.Make(t.Context(), f, report.DefaultSettings())
	require.NoError(t, err)
	return made.Tables()[0].Key
}

// Sixteen at once took 1.6 GB on a figure of 100 000 units: each made its own.
func TestCostlyPagesAreMadeOneAtATime(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	var busy, most, made atomic.Int64
	work := func(w http.ResponseWriter, _ *http.Request) error {
		most.Store(max(most.Load(), busy.Add(1)))
		defer busy.Add(-1)
		made.Add(1)
		time.Sleep(3 * time.Millisecond)
		_, err := w.Write([]byte("page"))
		return err
	}
	page, form := s.kept(work), s.inTurn(work)
	var all sync.WaitGroup
	for i := range 48 {
		all.Go(func() {
			h, path := page, fmt.Sprint("/d/", d.ID, "/check?", i%4)
			if i%3 == 0 {
				h, path = form, "/d/"+d.ID+"/size"
			}
			w := httptest.NewRecorder()
			h(w, withAccess(get(path), access{base: "/d/" + d.ID, design: d.ID, power: store.PowerEdit, maker: true}))
			assert.Equal(t, "page", w.Body.String())
		})
	}
	all.Wait()
	assert.EqualValues(t, 1, most.Load(), "made at the same time")
	assert.EqualValues(t, 16+4, made.Load(), "each page once, each form every time")
}

func TestEveryCostlyAddressWaitsForItsTurn(t *testing.T) {
	s, kept := keeping(t)
	d := keepLighthouse(t, kept)
	s.answers.turn <- struct{}{} // something costly is being made
	asked := make([]*http.Request, 0, 20)
	for _, path := range append(costlyPages, "/size", "/picture.svg", "/figure.glb") {
		asked = append(asked, get("/d/"+d.ID+path))
	}
	asked = append(asked, post("/d/"+d.ID+"/report", url.Values{"people": {"3"}}), post("/d/"+d.ID+"/check", url.Values{"finding": {"x"}}))
	for _, r := range asked {
		waiting, stop := context.WithTimeout(t.Context(), 20*time.Millisecond)
		assert.Equal(t, 503, ask(t, s, r.WithContext(waiting)).Code, r.URL.Path)
		stop()
	}
	<-s.answers.turn
	assert.Equal(t, 200, ask(t, s, get("/d/"+d.ID+"/check")).Code)
}

// Who shares an answer with somebody who goes away gets it all the same.
func TestAnAnswerIsMadeForWhoStillWaits(t *testing.T) {
	a := newAnswers()
	gone, leave := context.WithCancel(t.Context())
	begun := make(chan struct{})
	var all sync.WaitGroup
	all.Go(func() {
		_, err := a.get(gone, "page", func() ([]byte, error) {
			close(begun)
			<-gone.Done()
			time.Sleep(5 * time.Millisecond) // so that the other one waits for this
			return nil, gone.Err()
		})
		assert.ErrorIs(t, err, context.Canceled)
	})
	<-begun
	all.Go(func() {
		body, err := a.get(t.Context(), "page", func() ([]byte, error) { return []byte("whole"), nil })
		assert.NoError(t, err)
		assert.Equal(t, "whole", string(body))
	})
	time.Sleep(5 * time.Millisecond)
	leave()
	all.Wait()
}
