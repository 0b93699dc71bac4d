package kernel

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNoAddressIsOpenForWantOfAWord(t *testing.T) {
	s := bare()
	answer := func(http.ResponseWriter, *http.Request) error { return nil }
	for name, route := range map[string]Route{
		"no need":                         {Method: "GET", Address: OfFigure + "/secret", Answer: answer},
		"a need that nobody knows":        {Method: "GET", Address: OfFigure + "/secret", Needs: "look", Answer: answer},
		"a figure's address for everyone": {Method: "GET", Address: OfFigure + "/secret", Needs: NeedsNothing, Answer: answer},
		"a link's power without a figure": {Method: "GET", Address: "/secret", Needs: NeedsView, Answer: answer},
	} {
		assert.Panics(t, func() { s.mount([]Room{{Name: "attic", Routes: []Route{route}}}) }, name)
	}
	assert.NotPanics(t, func() {
		s.mount([]Room{{Name: "attic", Routes: []Route{{Method: "GET", Address: OfFigure + "/open", Needs: NeedsView, Answer: answer}, {Method: "GET", Address: "/attic", Needs: NeedsMaker, Answer: answer}}}})
	})
}

// RFC 9110, 15.5.6: an answer 405 must say in Allow what the address does answer; 9.3.2: HEAD is GET without the body.
func TestARefusedMethodIsToldWhichAreAllowed(t *testing.T) {
	answer := func(w http.ResponseWriter, _ *http.Request) error { w.WriteHeader(204); return nil }
	s := bare()
	h := s.mount([]Room{{Name: "attic", Routes: []Route{
		Get("/attic", NeedsMaker, answer), Post("/attic/box", NeedsMaker, answer),
		Get("/attic/lamp", NeedsMaker, answer), Post("/attic/lamp", NeedsMaker, answer), Get("/open/*", NeedsNothing, answer),
	}}})
	for _, c := range []struct{ method, path, allow string }{
		{"POST", "/attic", "GET, HEAD"},
		{"GET", "/attic/box", "POST"},
		{"HEAD", "/attic/box", "POST"},
		{"DELETE", "/attic/lamp", "GET, HEAD, POST"},
		{"PUT", "/open/any%2Fthing", "GET, HEAD"},
		{"BREW", "/attic/lamp", "GET, HEAD, POST"},
	} {
		w := ask(t, h, httptest.NewRequest(c.method, c.path, nil))
		assert.Equal(t, 405, w.Code, c)
		assert.Equal(t, []string{c.allow}, w.Header().Values("Allow"), c)
	}
	assert.NotContains(t, ask(t, h, httptest.NewRequest("GET", "/attic", nil)).Header(), "Allow")
}
