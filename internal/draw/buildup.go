package draw

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// BuildUp draws a figure while it is built, always from one side and in one frame, so that the pictures follow one another.
type BuildUp struct {
	whole *stage
	say   *words.Speaker
	most  int
	min   Point
	max   Point
}

// NewBuildUp makes the pictures of a figure seen from one side. In a figure of more than most units coarse patches stand for them.
func NewBuildUp(f *figure.Figure, v View, most int, say *words.Speaker) *BuildUp {
	b := &BuildUp{whole: newStage(f, v), say: say, most: most}
	s := b.fresh()
	s.compose(most)
	b.min, b.max = s.min, s.max
	return b
}

// fresh is a stage with nothing on it.
func (b *BuildUp) fresh() *stage {
	s := *b.whole
	s.facets, s.started = nil, false
	return &s
}

// With draws the figure as far as these rows are built, given by their index, with the extras on them.
func (b *BuildUp) With(rows []int) *Drawing {
	s := b.fresh()
	s.built = make([]bool, len(s.f.Rings))
	for _, row := range rows {
		s.built[row] = true
	}
	s.compose(b.most)
	s.min, s.max = b.min, b.max
	return s.drawing(b.say.T("draw.stand.title", "Title", s.f.Title))
}

// Turning gives the pictures of the whole figure on a turntable that stops n times, all in one frame.
func (b *BuildUp) Turning(n int) func(k int) *Drawing {
	at := func(k int) *stage {
		s := b.fresh()
		s.look(b.whole.v.Turn + 2*math.Pi*float64(k)/float64(n))
		s.compose(b.most)
		return s
	}
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for k := range n {
		s := at(k)
		low = Point{math.Min(low.X, s.min.X), math.Min(low.Y, s.min.Y)}
		high = Point{math.Max(high.X, s.max.X), math.Max(high.Y, s.max.Y)}
	}
	wide := math.Max(-low.X, high.X) // the axis stays in the middle
	return func(k int) *Drawing {
		s := at(k)
		s.min, s.max = Point{-wide, low.Y}, Point{wide, high.Y}
		return s.drawing(b.say.T("draw.stand.title", "Title", s.f.Title))
	}
}
