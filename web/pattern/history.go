package pattern

import (
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// historyPage is how many steps are listed at once.
const historyPage = 50

// history lists the steps of a figure, newest first, from before the revision of the address (?before=) on.
func (s *room) history(w http.ResponseWriter, r *http.Request) error {
	before := int64(0)
	if text := r.URL.Query().Get("before"); text != "" {
		var err error
		if before, err = strconv.ParseInt(text, 10, 64); err != nil || before < 1 {
			return kernel.ProblemAt("before", "since")
		}
	}
	steps, err := s.Store.History(r.Context(), kernel.AccessOf(r).Design, before, historyPage+1)
	if err != nil {
		return err
	}
	more := len(steps) > historyPage
	if more {
		steps = steps[:historyPage]
	}
	who, say := kernel.Person(w, r), kernel.Speaker(r)
	list := make([]wire.HistoryStep, len(steps))
	for i, step := range steps {
		list[i] = wire.HistoryStep{Rev: step.Rev, At: step.At, Name: step.Person.Name, Own: step.Person.ID == who, Kind: step.Kind,
			Label: say.Say(step.Label), Target: step.Target, Undone: step.Undone}
	}
	kernel.WriteJSON(w, http.StatusOK, wire.HistoryList{Steps: list, More: more})
	return nil
}

// pictureAt is the figure as it was at a revision. A revision never changes, so the picture may be kept.
func (s *room) pictureAt(w http.ResponseWriter, r *http.Request) error {
	rev, err := strconv.ParseInt(chi.URLParam(r, "rev"), 10, 64)
	if err != nil {
		return kernel.NotFound()
	}
	return s.SendPast(w, r, rev, "picture", kernel.MediaTypes[".svg"], func(f *figure.Figure) ([]byte, error) {
		return draw.Thumbnail(f, thumbnailMM).Encode(draw.SVG, 0)
	})
}
