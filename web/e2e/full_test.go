package e2e_test

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/mattn/go-sqlite3" // damages a figure behind the app's back
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/faultdisk"
	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// TestPainterHearsThatTheDiskIsFull: what is painted stays on the page, the page says why it is not saved, and saves
// it when there is room.
func TestPainterHearsThatTheDiskIsFull(t *testing.T) {
	for name, who := range map[string]func(*e2e.App, testing.TB) *e2e.Person{"phone": (*e2e.App).Phone, "desk": (*e2e.App).Desk} {
		t.Run(name, func(t *testing.T) {
			db := filepath.Join(t.TempDir(), "tuckring.db")
			disk, ok := faultdisk.Small(t, 1<<20)
			if ok {
				db = filepath.Join(disk.Dir, "tuckring.db")
			}
			app := e2e.StartOn(t, db)
			fill, free := disk.Fill, disk.Free
			if !ok { // this process may not mount: SQLite's own limit has to do
				fill, free = func() { require.NoError(t, app.Store.LimitPages(1)) }, func() { require.NoError(t, app.Store.LimitPages(1<<30)) }
			}
			base := app.KeepFigure(t, plain(12, 8))
			maker := who(app, t)
			maker.Expect("507")
			openEditor(maker, base)
			fill()
			useUp(t, app, base)
			maker.PressAt(unitAt(maker, 3, 4))
			maker.PressAt(unitAt(maker, 5, 6))
			maker.Sees("The disk is full. Nothing is lost: 2 steps are kept here and saved as soon as there is room.")
			maker.CheckAccess()
			maker.FitsWidth()
			maker.View("disk-full-" + name)
			free()
			maker.SeesNot("The disk is full")
			settled(maker)
			f := kept(t, app, base)
			soot, _ := f.ColourIndex("soot")
			painted := map[int]int{}
			for ring := range f.Rings {
				for _, c := range f.Rings[ring].Cells {
					if int(c.Colour) == soot {
						painted[ring+1]++
					}
				}
			}
			assert.Equal(t, map[int]int{3: 1, 5: 1}, painted)
		})
	}
}

// useUp makes somebody else's steps until none can be stored: SQLite first uses the room that it has.
func useUp(t *testing.T, app *e2e.App, base string) {
	t.Helper()
	for seq := int64(1); seq < 5000; seq++ {
		edit := &figure.SetTitle{Title: strings.Repeat("Puffin ", int(seq%9)+1)}
		_, err := app.Store.Apply(context.Background(), strings.TrimPrefix(base, "/d/"), store.Person{ID: "jon"}, "jon's", []store.Ask{{Seq: seq, Kind: store.KindEdit, Edit: edit}})
		if errors.Is(err, &store.Error{Code: store.Full}) {
			return
		}
		require.NoError(t, err)
	}
	t.Fatal("the disk never became full")
}

// TestMakerGoesOnFromADamagedFigure: the shelf shows one figure as damaged and the others as they are.
func TestMakerGoesOnFromADamagedFigure(t *testing.T) {
	for name, who := range map[string]func(*e2e.App, testing.TB) *e2e.Person{"phone": (*e2e.App).Phone, "desk": (*e2e.App).Desk} {
		t.Run(name, func(t *testing.T) {
			db := filepath.Join(t.TempDir(), "tuckring.db")
			app := e2e.StartOn(t, db)
			path := app.KeepDemo(t)["puffin"]
			for seq := range int64(4) {
				ask(t, app, path, seq+1, &figure.SetTitle{Title: strings.TrimSpace(strings.Repeat("Puffin ", int(seq)+1))})
			}
			app.Away(func() {
				con, err := sql.Open("sqlite3", db)
				require.NoError(t, err)
				_, err = con.Exec(`UPDATE steps SET edit = 'scribble' WHERE rev = 3`)
				require.NoError(t, err)
				require.NoError(t, con.Close())
			})
			maker := who(app, t)
			maker.Open("/")
			maker.Sees("Damaged: this figure cannot be read as it is now.")
			maker.Sees("Its last readable version is 2 of 4.")
			maker.Sees("Honey jar")
			maker.FitsWidth()
			maker.CheckAccess()
			maker.Picture("shelf-damaged-" + name)
			maker.Press("Continue from version 2 of Puffin Puffin Puffin Puffin, as a new figure")
			maker.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
			assert.NotEqual(t, path, maker.Path())
			maker.Sees("Puffin Puffin")
			maker.Expect("500")
			maker.Open(path)
			maker.Sees("This figure is damaged")
			maker.View("damaged-" + name)
		})
	}
}
