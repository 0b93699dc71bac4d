package begin

import (
	"errors"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// mostWays is how many ways are shown to choose among.
const mostWays = 3

// WishWay is a way to make a shape of a wished size, with what it takes.
type WishWay struct {
	Units, Widest, Rings int
	Asked                int // of the shape, for the widest ring
	Unit                 figure.Unit
	Height, Width        string // cm
	Off                  int    // per cent by which it misses the wish
	Sheets               int
	Time                 words.Text
}

// wish shows the ways to make what was wished, beside the form.
func (s *room) wish(w http.ResponseWriter, r *http.Request, q url.Values) error {
	start := Start{Door: doorOf("wish"), Form: kernel.NewForm(q, newNames), Wished: true}
	form := start.Form
	height, width := readCM(form, "height"), readCM(form, "width")
	kind, ok := outline.ByKey(form.Value("shape"))
	if !ok {
		form.Refuse("shape", words.T("web.form.choose"))
	}
	settings := report.DefaultSettings()
	if settings.Sheet = form.Value("sheet"); !slices.Contains(wishSheets, settings.Sheet) {
		form.Refuse("sheet", words.T("web.form.choose"))
	}
	if !form.OK() {
		start.Wished = false
		return s.render(w, r, http.StatusUnprocessableEntity, start)
	}
	cuts := shape.UsualCuts()
	if settings.Sheet == "Letter" {
		cuts = shape.LetterCuts()
	}
	hand, err := s.hand(r.Context())
	if err != nil {
		return err
	}
	wish := shape.Wish{HeightMM: 10 * height, DiameterMM: 10 * width}
	ways, err := outline.Ways(r.Context(), kind, wish, cuts, wishPapers, hand.gauge)
	var why words.Text
	if errors.As(err, &why) {
		form.Refuse("height", why)
		return s.render(w, r, http.StatusUnprocessableEntity, start)
	}
	if err != nil {
		return err
	}
	start.Nothing = nothing(wish, cuts, hand.gauge)
	for _, way := range different(ways) {
		settings.Swatch = hand.swatch(way.Cut.Unit)
		start.Measured = settings.Swatch.Name
		made, err := report.Make(r.Context(), way.Figure, settings)
		if err != nil {
			return err
		}
		start.Ways = append(start.Ways, WishWay{
			Units: way.Figure.Units(), Widest: outline.Widest(way.Figure), Asked: way.Widest, Rings: way.Rings, Unit: way.Cut.Unit,
			Height: inCM(way.Height.Best), Width: inCM(way.Diameter.Best), Off: int(math.Round(100 * way.Miss)),
			Sheets: made.Paper.Sheets, Time: report.ShowTime(made.Time.Range.Total),
		})
	}
	return s.render(w, r, http.StatusOK, start)
}

// nothing says why there is no way: with every cut it would be too many units, or else too few.
func nothing(wish shape.Wish, cuts []shape.Cut, gauge func(figure.Unit) shape.Gauge) words.Text {
	nearest := words.T("begin.wish.larger", "Units", words.T("figure.units", "Count", outline.LeastWidest), "Rings", words.T("web.rings", "Count", outline.LeastRings))
	if tubes, err := shape.Suggest(wish, cuts, gauge); err == nil && len(tubes) > 0 {
		nearest = words.T("begin.wish.smaller")
	}
	return words.T("begin.wish.none", "Most", outline.MostUnits, "Nearest", nearest)
}

// different are the first ways of which no two have the same rings, as many as are shown.
func different(ways []outline.Way) (out []outline.Way) {
	seen := map[[2]int]bool{}
	for _, way := range ways {
		if at := [2]int{way.Widest, way.Rings}; !seen[at] && len(out) < mostWays {
			seen[at] = true
			out = append(out, way)
		}
	}
	return out
}

// wishSheets are the sheets that can be chosen, which are sold everywhere.
var wishSheets = []string{"A4", "A3", "A5", "Letter"}

// readCM reads a length in cm within the limits of a wish.
func readCM(form *kernel.Form, field string) float64 {
	v, ok := kernel.Decimal(form.Value(field))
	if low, high := shape.MinWishMM/10, shape.MaxWishMM/10; !ok || v < low || v > high {
		form.Refuse(field, words.T("begin.wish.cm", "Low", kernel.Digits(low), "High", kernel.Digits(high)))
	}
	return v
}

// wishTitle is what the figure is to be called: what was typed, else its shape.
func wishTitle(p kernel.Page, form *kernel.Form) string {
	if title := strings.TrimSpace(form.Value("title")); title != "" {
		return title
	}
	kind, _ := outline.ByKey(form.Value("shape"))
	return p.Say.Say(kind.Name())
}

// wishPapers is the one paper in which ways are reckoned: how many sheets a figure takes hangs little on how it is painted.
var wishPapers = []figure.Colour{{ID: "chalk", Name: "chalk", Hex: "#f4efe6"}}

// inCM says mm in cm, with one decimal.
func inCM(mm float64) string { return kernel.Digits(math.Round(mm) / 10) }
