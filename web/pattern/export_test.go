package pattern

import (
	"time"

	"tuckring/internal/picture"
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

// KeptPictures are the pictures that are being laid.
type KeptPictures struct{ pictures }

// Keep puts a picture there.
func (k *KeptPictures) Keep(design, name string, p *picture.Picture, now time.Time) {
	k.keep(design, name, p, now)
}

// Find gives one, or nil.
func (k *KeptPictures) Find(design, name string, now time.Time) *picture.Picture {
	return k.find(design, name, now)
}

// Len is how many there are.
func (k *KeptPictures) Len() int { return len(k.kept) }
