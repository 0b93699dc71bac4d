package pattern

import (
	"net/http"
	"strconv"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// View is a figure as it is shown to somebody who looks.
type View struct {
	Title   string
	Counts  words.Text
	Papers  []ViewPaper
	Rev     string       // the revision it shows
	Picture string       // address of its picture
	Pattern string       // address of its unrolled pattern
	Extras  []words.Text // what the numbers on the pattern mean, from 1
}

// ViewPaper is one paper that the figure uses and how many units need it: none when only glued pieces do.
type ViewPaper struct {
	Sign, Name, Hex string
	Units           int
}

// view shows a figure to somebody who may look, without scripts.
func (s *room) view(w http.ResponseWriter, r *http.Request) error {
	a := kernel.AccessOf(r)
	var v View
	err := s.Store.Look(r.Context(), a.Design, func(n store.Now) error {
		v = viewOf(n.Figure)
		v.Rev = strconv.FormatInt(n.Rev, 10)
		v.Picture = a.Base + "/picture.svg?rev=" + v.Rev
		v.Pattern = a.Base + "/pattern.svg?rev=" + v.Rev
		return nil
	})
	if err != nil {
		return err
	}
	page := s.FigurePage(r, v.Title, kernel.Tab{})
	page.Styles = []string{"shelf"}
	page.Scripts = []string{"pattern-view"}
	return kernel.Render(w, r, http.StatusOK, ViewPage(page, v))
}

func viewOf(f *figure.Figure) View {
	counts := report.Count(f)
	v := View{Title: f.Title}
	v.Counts = counts.Text(len(f.Rings))
	signs, used := f.Signs(), f.Used()
	for _, c := range counts.ByColour {
		i, _ := f.ColourIndex(c.Colour)
		if !used[i] {
			continue
		}
		v.Papers = append(v.Papers, ViewPaper{Sign: signs[i], Name: c.Name, Hex: f.Colours[i].Hex, Units: c.Units})
	}
	for i := range f.Extras {
		v.Extras = append(v.Extras, draw.ExtraText(f, &f.Extras[i]))
	}
	return v
}
