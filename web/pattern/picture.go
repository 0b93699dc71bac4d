package pattern

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// thumbnailMM is the side of the square picture of a figure; a vector picture has no pixels.
const thumbnailMM = 80

// picture is the figure as it stands, in a square.
func (s *room) picture(w http.ResponseWriter, r *http.Request) error {
	return common.SendDrawing(s.App, w, r, "picture", func(f *figure.Figure) *draw.Drawing { return draw.Thumbnail(f, thumbnailMM) })
}

// patternPicture is the unrolled pattern with its ring numbers and signs.
func (s *room) patternPicture(w http.ResponseWriter, r *http.Request) error {
	say := kernel.Speaker(r)
	return common.SendDrawing(s.App, w, r, "pattern", func(f *figure.Figure) *draw.Drawing {
		return draw.Pattern(f, draw.PatternOptions{Signs: true, Say: say})
	})
}
