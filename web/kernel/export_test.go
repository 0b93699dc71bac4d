package kernel

import "context"

// What the tests of the whole app set and see of the kernel.

// LimitWork sets what a link may ask for; with nothing it is as ever. Nobody has taken anything yet.
func (s *App) LimitWork(perSecond, most float64) {
	s.Work = Allowance{limit: limit{perSecond, most}}
	if most == 0 {
		s.Work.limit = workLimit
	}
}

// LimitHands sets how often a link may tell where a hand is.
func (s *App) LimitHands(perSecond, most float64) { s.Hands = Allowance{limit: limit{perSecond, most}} }

// Occupy begins to make something costly, until free is called.
func (s *App) Occupy() (free func()) {
	free, err := s.answers.line.take(context.Background(), "")
	if err != nil {
		panic(err) // the maker's is never refused
	}
	return free
}

// WithAccess is a request that reached a figure.
var WithAccess = withAccess
