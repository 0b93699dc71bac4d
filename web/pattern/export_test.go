package pattern

import (
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/web/kernel"
)

// RoomThatReckons is the room with another way to count totals.
func RoomThatReckons(app *kernel.App, reckon func(store.Now) report.Totals) kernel.Room {
	s := newRoom(app)
	s.reckon = reckon
	return s.open()
}
