package store

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
)

// BenchmarkDurable compares an acknowledged edit with what no durable edit can be cheaper than: a
// transaction that inserts one short row, with the same SQLite settings. The two take turns, so that a busy
// disk meets both alike, and their quiet times are compared. Baseline: at most 1.5 times the bare commit.
func BenchmarkDurable(b *testing.B) {
	for _, c := range []struct{ units, rings, cells int }{{16, 15, 1}, {64, 200, 8}, {64, 200, 64}} {
		b.Run(fmt.Sprintf("edit-of-%d-cells-in-%dx%d", c.cells, c.rings, c.units), func(b *testing.B) {
			bare := bareInsert(b)
			s := open(b)
			id := create(b, s, tube(b, c.units, c.rings))
			var bareTimes, editTimes []time.Duration
			for seq := int64(1); b.Loop(); seq++ {
				asks := []Ask{{Seq: seq, Kind: KindEdit, Edit: longStroke(seq, c.rings, c.units, c.cells)}}
				start := time.Now()
				if _, err := bare.Exec("one row"); err != nil {
					b.Fatal(err)
				}
				middle := time.Now()
				if _, err := s.Apply(ctx, id, Person{ID: "mira", Name: "Mira"}, "page", asks); err != nil {
					b.Fatal(err)
				}
				bareTimes, editTimes = append(bareTimes, middle.Sub(start)), append(editTimes, time.Since(middle))
			}
			require.Equal(b, int64(len(editTimes)), revOf(b, s, id), "every edit was a step")
			bareMS, editMS := gauge.MS(gauge.Share(bareTimes, gauge.Quiet)), gauge.MS(gauge.Share(editTimes, gauge.Quiet))
			name := fmt.Sprintf("Durable edit, store alone: %d of %d × %d units", c.cells, c.rings, c.units)
			gauge.Report(b, gauge.Figure{Name: name, Unit: "ms", Measured: editMS, Allowed: 1.5 * bareMS,
				Baseline: bareMS, Against: "bare durable commit of one row", Most: 1.5})
		})
	}
}

// bareInsert prepares the baseline.
func bareInsert(b *testing.B) *sql.Stmt {
	db, err := sql.Open("sqlite3", fileURI(filepath.Join(b.TempDir(), "bare.db"), "_journal_mode=WAL&_synchronous=FULL&_txlock=immediate"))
	require.NoError(b, err)
	b.Cleanup(func() { _ = db.Close() })
	db.SetMaxOpenConns(1)
	_, err = db.Exec(`CREATE TABLE bare (number INTEGER PRIMARY KEY, text TEXT NOT NULL)`)
	require.NoError(b, err)
	insert, err := db.Prepare(`INSERT INTO bare (text) VALUES (?)`)
	require.NoError(b, err)
	return insert
}

func revOf(t testing.TB, s *Store, id string) int64 {
	d, _, err := s.Get(ctx, id)
	require.NoError(t, err)
	return d.Rev
}

// longStroke is the stroke of a number: it paints some units up a column, then up the next, in another
// colour each time it has been all around.
func longStroke(seq int64, rings, units, cells int) figure.Edit {
	p := &figure.Paint{}
	for k := range cells {
		at := int(seq-1)*cells + k
		p.Runs = append(p.Runs, figure.PaintRun{Ring: figure.RingID(1 + at%rings), At: at / rings % units, N: 1,
			Colour: []string{"chalk", "soot", "brick"}[at/(rings*units)%3]})
	}
	return p
}

func BenchmarkOpenDesign(b *testing.B) {
	s := open(b)
	id := create(b, s, tube(b, 64, 200))
	for seq := int64(1); seq < 3*snapshotSteps; seq++ {
		_, err := s.Apply(ctx, id, Person{ID: "mira"}, "page", []Ask{{Seq: seq, Kind: KindEdit, Edit: longStroke(seq, 200, 64, 16)}})
		require.NoError(b, err)
	}
	for b.Loop() {
		s.dropFromMemory(id)
		if err := s.Look(ctx, id, func(Now) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}
