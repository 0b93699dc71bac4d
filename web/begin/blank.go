package begin

import (
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// ownSize is the choice of a unit size that is typed instead of picked.
const ownSize = "own"

// Beginning is what the form of a new figure holds at first.
var Beginning = map[string][]string{
	"units":   {"18"},
	"rings":   {"16"},
	"size":    {fold.UsualSizes[0].Key},
	"fold":    {string(figure.Doubled)},
	"ground":  {"chalk"},
	"papers":  {"chalk", "sea", "soot"},
	"shape":   {"egg"},
	"height":  {"20"},
	"width":   {"14"},
	"sheet":   {"A4"},
	"colours": {"5"},
}

// newNames are what the fields of a new figure are called.
var newNames = map[string]words.Text{
	"shape":    words.T("begin.shape"),
	"file":     words.T("begin.picture.file"),
	"colours":  words.T("begin.picture.colours"),
	"height":   words.T("begin.wish.height"),
	"width":    words.T("begin.wish.width"),
	"sheet":    words.T("begin.wish.sheet"),
	"of":       words.T("begin.door.copy"),
	"title":    words.T("web.form.field.title"),
	"units":    words.T("web.form.field.units"),
	"rings":    words.T("web.form.field.rings"),
	"size":     words.T("web.form.field.size"),
	"long":     words.T("web.form.field.long"),
	"short":    words.T("web.form.field.short"),
	"fold":     words.T("web.form.field.fold"),
	"ground":   words.T("web.form.field.ground"),
	"own_name": words.T("web.form.field.own_name"),
	"own_hex":  words.T("web.form.field.own_hex"),
}

// readBlank makes the plain tube that the form describes; what is wrong is noted in the form.
func readBlank(say *words.Speaker, form *kernel.Form) *figure.Figure {
	title := readTitle(form)
	units := form.Whole("units", figure.MinUnits, figure.MaxUnits)
	rings := form.Whole("rings", 1, figure.MaxRings)
	if units*rings > figure.MaxAllUnits {
		form.Refuse("rings", words.T("figure.too_many_units", "Found", units*rings), words.T("figure.too_many_units.fix", "Max", figure.MaxAllUnits))
	}
	unit := readUnit(form)
	colours := readPapers(say, form)
	if !form.OK() {
		return nil
	}
	return figure.Tube(title, unit, colours, units, rings)
}

// readUnit reads the unit's size, picked or typed.
func readUnit(form *kernel.Form) figure.Unit {
	if key := form.Value("size"); key != ownSize {
		unit, ok := fold.UsualByKey(key)
		if !ok {
			form.Refuse("size", words.T("web.form.choose"))
		}
		return unit
	}
	return form.Unit("long", "short", "fold")
}

// readPapers gathers the palette: the paper that all units start in comes first, then the ticked ones
// in their order, then an own one if it was named.
func readPapers(say *words.Speaker, form *kernel.Form) []figure.Colour {
	ground, ok := figure.PaperByID(form.Value("ground"))
	if !ok {
		form.Refuse("ground", words.T("web.form.choose"))
		return nil
	}
	colours := []figure.Colour{ready(say, ground)}
	for _, p := range figure.Papers {
		if p != ground && form.Has("papers", p.ID) {
			colours = append(colours, ready(say, p))
		}
	}
	name := strings.TrimSpace(form.Value("own_name"))
	if name == "" {
		return colours
	}
	if what, fix, bad := figure.NameFault(name, figure.MaxName, true); bad {
		form.Refuse("own_name", what, fix)
	}
	hex := strings.ToLower(form.Value("own_hex"))
	if what, fix, bad := figure.HexFault(hex); bad {
		form.Refuse("own_hex", what, fix)
	}
	return append(colours, figure.Colour{ID: "own", Name: name, Hex: hex})
}

// ready is a ready paper as a colour of a figure.
func ready(say *words.Speaker, p figure.Paper) figure.Colour {
	return figure.Colour{ID: p.ID, Name: say.Say(p.Name()), Hex: p.Hex}
}
