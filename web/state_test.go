package web

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
	"tuckring/internal/store"
	"tuckring/internal/wire"
)

func benchmarkState(b *testing.B, units, rings int) {
	f, err := figure.Read([]byte(tubeOf(units, rings)))
	require.NoError(b, err)
	size := 0
	for b.Loop() {
		data, err := json.Marshal(wire.StateOf(store.Now{Figure: f}, totalsOf(store.Now{Figure: f})))
		if err != nil {
			b.Fatal(err)
		}
		size = len(data)
	}
	b.ReportMetric(float64(size)/1e3, "kB")
}

func BenchmarkState200x64(b *testing.B)  { benchmarkState(b, 64, 200) }
func BenchmarkState500x200(b *testing.B) { benchmarkState(b, 200, 500) }

// Where the units of uneven rings stand travels in few bytes, and comes out as it is to the last place that travels; the client's
// own reading is tested in lattice.test.ts.
func TestEdgesTravelShortAndTrue(t *testing.T) {
	f, err := figure.Read([]byte(tubeOf(64, 40)))
	require.NoError(t, err)
	for id, n := range map[figure.RingID]int{5: 60, 12: 70, 20: 50, 30: 61} {
		_, _, err := figure.Apply(f, &figure.SetCount{Rings: []figure.RingID{id}, Units: n})
		require.NoError(t, err)
	}
	_, _, err = figure.Apply(f, &figure.LeaveOut{Ring: 33, At: 11, N: 2})
	require.NoError(t, err)
	u, uneven, units := figure.Unroll(f), 0, 0
	for i := range f.Rings {
		w := wire.RingOf(f, u, i)
		if w.Edges == nil {
			continue
		}
		uneven++
		at, k := 0, 0
		for unit := range f.Rings[i].Cells {
			from, to := u.Arc(i, unit)
			if unit == 0 || len(w.Edges) == 2*len(f.Rings[i].Cells) {
				at, k = at+w.Edges[k], k+1
			}
			require.InDelta(t, from*100_000, float64(at), 0.51)
			at, k = at+w.Edges[k], k+1
			require.InDelta(t, to*100_000, float64(at), 0.51)
		}
		require.Len(t, w.Edges, k)
		units += len(f.Rings[i].Cells)
	}
	require.Greater(t, uneven, 4)
	size := func() int {
		data, err := json.Marshal(wire.StateOf(store.Now{Figure: f}, totalsOf(store.Now{Figure: f})))
		require.NoError(t, err)
		return len(data)
	}
	even, err := figure.Read([]byte(tubeOf(64, 40)))
	require.NoError(t, err)
	long := size()
	f = even
	require.Less(t, float64(long-size()), 8*float64(units), "a width takes 4 digits and a comma; pairs of decimals took 16")
}

// BenchmarkEditAnswered compares the whole way of an edit through the server (reading the request, drawing it
// in the figure, the disk, telling those who watch, counting units and sheets, the answer) with a bare durable
// commit of one row with the same SQLite settings. The two take turns, so that a busy disk meets both
// alike, and their quiet times are compared. Baseline: at most 1.5 times the bare commit (issue 3).
func BenchmarkEditAnswered(b *testing.B) {
	bare := bareInsert(b)
	m := newMachine(b)
	defer m.stop()
	id, _ := m.keep(64, 200)
	app := m.app.Load()
	var bareTimes, editTimes []time.Duration
	for seq := 1; b.Loop(); seq++ {
		at := seq - 1
		body := fmt.Sprintf(`{"client":"page-00000001","steps":[{"seq":%d,"edit":{"do":"paint","runs":[{"ring":%d,"at":%d,"n":8,"colour":%q}]}}]}`,
			seq, 1+at%200, at/200%8*8, []string{"chalk", "soot", "brick"}[at/1600%3])
		r := by('m', sending("/d/"+id+"/edits", body))
		r.Host, r.RemoteAddr = "localhost:8080", "127.0.0.1:40000"
		w := httptest.NewRecorder()
		start := time.Now()
		if _, err := bare.Exec("one row"); err != nil {
			b.Fatal(err)
		}
		middle := time.Now()
		app.ServeHTTP(w, r)
		bareTimes, editTimes = append(bareTimes, middle.Sub(start)), append(editTimes, time.Since(middle))
		if w.Code != 200 {
			b.Fatal(w.Body.String())
		}
	}
	bareMS, editMS := gauge.MS(gauge.Share(bareTimes, gauge.Quiet)), gauge.MS(gauge.Share(editTimes, gauge.Quiet))
	gauge.Report(b, gauge.Figure{Name: "Durable edit through the server", Unit: "ms", Measured: editMS, Allowed: 1.5 * bareMS,
		Baseline: bareMS, Against: "bare durable commit of one row", Most: 1.5})
}

func bareInsert(b *testing.B) *sql.Stmt {
	db, err := sql.Open("sqlite3", "file:"+filepath.Join(b.TempDir(), "bare.db")+"?_journal_mode=WAL&_synchronous=FULL&_txlock=immediate")
	require.NoError(b, err)
	b.Cleanup(func() { _ = db.Close() })
	db.SetMaxOpenConns(1)
	_, err = db.Exec(`CREATE TABLE bare (number INTEGER PRIMARY KEY, text TEXT NOT NULL)`)
	require.NoError(b, err)
	insert, err := db.Prepare(`INSERT INTO bare (text) VALUES (?)`)
	require.NoError(b, err)
	return insert
}
