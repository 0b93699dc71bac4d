package kernel

import (
	"context"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/internal/wire"
)

// Present is a design as it is now, with its settings. The figure is the holder's own, to change at will.
type Present struct {
	ID       string
	Rev      int64
	Figure   *figure.Figure
	Settings report.Settings
	Unread   bool // the stored settings cannot be read, so that the defaults stand in for them
}

// Present loads the design that the request reached. It fails as store.Look does; settings that cannot be read are
// no reason to show nothing.
func (s *App) Present(r *http.Request) (p Present, err error) {
	err = s.Store.Look(r.Context(), AccessOf(r).Design, func(n store.Now) error {
		p = presentOf(n)
		p.Figure = n.Figure.Clone()
		return nil
	})
	return p, err
}

// presentOf reads a design while the store shows it; its figure may be read during that time only.
func presentOf(n store.Now) Present {
	p := Present{ID: n.ID, Rev: n.Rev, Figure: n.Figure}
	p.Settings, p.Unread = SettingsOf(n)
	return p
}

// SettingsOf reads the settings of a design, or says that they cannot be read and gives the defaults: the report page
// tells the reader so, and no other page stops for it.
func SettingsOf(n store.Now) (settings report.Settings, unread bool) {
	settings, err := report.ReadSettings(n.Settings)
	if err != nil {
		return report.DefaultSettings(), true
	}
	return settings, false
}

// Replaceable refuses where settings are stored that this version cannot read: what it would keep in their place is made of
// the defaults, and what a later version had stored would be gone.
func (p *Present) Replaceable() error {
	if p.Unread {
		return NewProblem(wire.CodeConflict, "settings_unread")
	}
	return nil
}

// KeepSettings stores the settings of p in place of those that its design had. It is the only way in which settings are
// kept, and fails where they are not Replaceable or as store.SetSettings does; nothing is changed then.
func (s *App) KeepSettings(ctx context.Context, p Present) error {
	if err := p.Replaceable(); err != nil {
		return err
	}
	return s.Store.SetSettings(ctx, p.ID, p.Settings.Write())
}

// Gauge is how large the design's units come out: by its maker's swatch, or from memory.
func (p *Present) Gauge() shape.Gauge { return p.Settings.Gauge(p.Figure.Unit) }
