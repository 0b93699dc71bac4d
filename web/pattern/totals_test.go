package pattern_test

import (
	"encoding/json"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
	"tuckring/web/pattern"
	"tuckring/web/webtest"
)

// A layout may take a second to search for. While it is, nobody's step waits, and whoever watches hears the totals
// when they are known.
func TestASlowTotalHoldsNoStep(t *testing.T) {
	_, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	goOn := make(chan struct{})
	counting := make(chan struct{}, 10)
	s := kernel.New(kernel.Config{Store: kept, Listen: "127.0.0.1:8080", Log: webtest.Quiet()})
	room := s.Open(pattern.RoomThatReckons(s, func(n store.Now) report.Totals {
		counting <- struct{}{}
		<-goOn
		return pattern.TotalsOf(n)
	}))
	app := httptest.NewServer(room)
	defer app.Close()
	heard := events(t, app.URL+base+"/events?since=0", 'j', 5)
	// A unit of a size that no other test has asked for: its layout is in nobody's memory.
	first := webtest.Edit(t, room, base, 'm', 1, `{"do":"set_unit","long_mm":51.37,"short_mm":36.91,"fold":"doubled"}`)
	assert.Nil(t, first.Totals, "not known yet")
	<-counting
	second := webtest.Edit(t, room, base, 'j', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"soot"}]}`)
	assert.EqualValues(t, 2, second.Rev, "taken while the totals are counted")
	close(goOn)
	var told wire.ToldTotals
	select {
	case got := <-heard:
		for _, data := range got { // two steps, what Jon can take back, the totals of the first and those of the last
			if strings.HasPrefix(data, `{"rev":2,"totals"`) {
				require.NoError(t, json.Unmarshal([]byte(data), &told))
			}
		}
	case <-time.After(30 * time.Second):
		t.Fatal("the totals were never told")
	}
	assert.Equal(t, 81, told.Totals.Units, "79 in rings and a gallery rail of 2")
	assert.Positive(t, told.Totals.Sheets)
	third := webtest.Edit(t, room, base, 'j', 2, `{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"brick"}]}`)
	require.NotNil(t, third.Totals, "known by now, so told at once")
	assert.Equal(t, told.Totals.Sheets, third.Totals.Sheets)
}
