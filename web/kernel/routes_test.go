package kernel

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNoAddressIsOpenForWantOfAWord(t *testing.T) {
	s := bare()
	answer := func(http.ResponseWriter, *http.Request) error { return nil }
	for name, route := range map[string]Route{
		"no need":                         {"GET", OfFigure + "/secret", "", answer},
		"a need that nobody knows":        {"GET", OfFigure + "/secret", "look", answer},
		"a figure's address for everyone": {"GET", OfFigure + "/secret", NeedsNothing, answer},
		"a link's power without a figure": {"GET", "/secret", NeedsView, answer},
	} {
		assert.Panics(t, func() { s.mount([]Room{{Name: "attic", Routes: []Route{route}}}) }, name)
	}
	assert.NotPanics(t, func() {
		s.mount([]Room{{Name: "attic", Routes: []Route{{"GET", OfFigure + "/open", NeedsView, answer}, {"GET", "/attic", NeedsMaker, answer}}}})
	})
}
