package kernel_test

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

	"tuckring/internal/store"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

// Sixteen at once took 1.6 GB on a figure of 100 000 units: each made its own.
func TestCostlyPagesAreMadeOneAtATime(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	var busy, most, made atomic.Int64
	work := func(w http.ResponseWriter, _ *http.Request) error {
		most.Store(max(most.Load(), busy.Add(1)))
		defer busy.Add(-1)
		made.Add(1)
		time.Sleep(3 * time.Millisecond)
		_, err := w.Write([]byte("page"))
		return err
	}
	page, form := s.App.Kept(work, kernel.Asks{Name: "nth"}), s.App.InTurn(work)
	var all sync.WaitGroup
	for i := range 48 {
		all.Go(func() {
			h, path := page, fmt.Sprint("/d/", d.ID, "/check?nth=", i%4)
			if i%3 == 0 {
				h, path = form, "/d/"+d.ID+"/size"
			}
			w := httptest.NewRecorder()
			h(w, kernel.WithAccess(webtest.Get(path), kernel.Access{Base: "/d/" + d.ID, Design: d.ID, Power: store.PowerEdit, Maker: true}))
			assert.Equal(t, "page", w.Body.String())
		})
	}
	all.Wait()
	assert.EqualValues(t, 1, most.Load(), "made at the same time")
	assert.EqualValues(t, 16+4, made.Load(), "each page once, each form every time")
}

func TestEveryCostlyAddressWaitsForItsTurn(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	free := s.App.Occupy() // something costly is being made
	asked := make([]*http.Request, 0, 20)
	for _, path := range append(webtest.CostlyPages, "/size", "/picture.svg", "/figure.glb", "/at/0.svg") {
		asked = append(asked, webtest.Get("/d/"+d.ID+path))
	}
	asked = append(asked, webtest.Post("/d/"+d.ID+"/report", url.Values{"people": {"3"}}), webtest.Post("/d/"+d.ID+"/check", url.Values{"finding": {"x"}}))
	for _, r := range asked {
		waiting, stop := context.WithTimeout(t.Context(), 20*time.Millisecond)
		assert.Equal(t, 503, webtest.Ask(t, s, r.WithContext(waiting)).Code, r.URL.Path)
		stop()
	}
	free()
	assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/check")).Code)
}
