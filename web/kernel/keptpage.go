package kernel

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/textproto"
	"net/url"
	"slices"
	"time"

	"tuckring/internal/store"
)

// Kept makes of a costly page one that is made once for all who ask for the same, one at a time, and kept until the
// figure changes (see answers). The page must show nothing but the figure, its settings, what its address asks for
// and what whoever comes by that address may see. asks are all that its address may ask for after the question mark.
func (s *App) Kept(h Handler, asks ...Asks) Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		r = onlyAsking(r, asks)
		tag, err := s.pageTag(r)
		if err != nil {
			return err
		}
		packed, err := s.answers.get(r.Context(), askerOf(r), tag, func() ([]byte, error) {
			rec := &recorded{header: http.Header{}, status: http.StatusOK}
			if err := h(rec, r); err != nil {
				return nil, err
			}
			if now, err := s.pageTag(r); err != nil || now != tag || rec.status != http.StatusOK {
				return nil, notKept{rec}
			}
			return rec.pack(), nil
		})
		if unkept, ok := err.(notKept); ok { //nolint:errorlint // ours, never wrapped
			return unkept.send(w)
		}
		if err != nil {
			return err
		}
		body, err := unpack(packed, w.Header())
		if err != nil {
			return err
		}
		w.Header().Set("ETag", `W/"`+tag+`"`)
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
		return nil
	}
}

// Asks is something that the address of a page may ask for (?name=value).
type Asks struct {
	Name   string
	Values []string // that mean something; nil when any may
}

// onlyAsking leaves of a request's query what its page knows, each once, so that no end of addresses shows one page.
func onlyAsking(r *http.Request, asks []Asks) *http.Request {
	given, known := r.URL.Query(), url.Values{}
	for _, a := range asks {
		if given.Has(a.Name) && (a.Values == nil || slices.Contains(a.Values, given.Get(a.Name))) {
			known.Set(a.Name, given.Get(a.Name))
		}
	}
	address := *r.URL
	address.RawQuery = known.Encode()
	r = r.WithContext(r.Context())
	r.URL = &address
	return r
}

// pageTag names the page that a request asks for, of the figure as it is now.
func (s *App) pageTag(r *http.Request) (tag string, err error) {
	what := fmt.Sprintf("page %s %t %s", r.URL.Path+"?"+r.URL.RawQuery, fromHere(r), AccessOf(r).Power)
	err = s.Store.Look(r.Context(), AccessOf(r).Design, func(n store.Now) error {
		tag = s.answers.tag(n, what, Speaker(r).Lang())
		return nil
	})
	return tag, err
}

// InTurn makes a costly answer that is not kept when nothing else that is costly is being made. What the request brings
// is read before, so that one that comes slowly holds nobody up.
func (s *App) InTurn(h Handler) Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		if err := readAhead(r); err != nil {
			return err
		}
		rec := &recorded{header: http.Header{}, status: http.StatusOK}
		err := s.WaitTurn(r, func() error { return h(rec, r) })
		if err != nil {
			return err
		}
		return rec.send(w)
	}
}

// WaitTurn does something costly for a request when nothing else that is costly is being made. What the request brings
// must have been read. It fails with the context's error when the asker goes first.
func (s *App) WaitTurn(r *http.Request, what func() error) error {
	return s.answers.inTurn(r.Context(), askerOf(r), what)
}

// readAhead reads the body of a request, as long as limitBody lets it be, for its handler to find it at hand. Its errors
// are those of CutShort.
func readAhead(r *http.Request) error {
	if r.Body == nil {
		return nil
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return CutShort(err)
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	return nil
}

// recorded is an answer before it is sent, so that a reader that takes it slowly holds nobody up.
type recorded struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (r *recorded) Header() http.Header         { return r.header }
func (r *recorded) WriteHeader(status int)      { r.status = status }
func (r *recorded) Write(b []byte) (int, error) { return r.body.Write(b) }

func (r *recorded) send(w http.ResponseWriter) error {
	for name, values := range r.header {
		w.Header()[name] = values
	}
	w.WriteHeader(r.status)
	_, _ = w.Write(r.body.Bytes()) // the reader may be gone; nothing is left to do then
	return nil
}

// pack puts the head before the body, with a blank line between, as they travel.
func (r *recorded) pack() []byte {
	var out bytes.Buffer
	_ = r.header.Write(&out) // a buffer takes everything
	out.WriteString("\r\n")
	out.Write(r.body.Bytes())
	return out.Bytes()
}

// unpack gives the body, and puts the fields of the head into another.
func unpack(packed []byte, head http.Header) (body []byte, err error) {
	in := bufio.NewReader(bytes.NewReader(packed))
	fields, err := textproto.NewReader(in).ReadMIMEHeader()
	if err != nil {
		return nil, err
	}
	for name, values := range fields {
		head[name] = values
	}
	return io.ReadAll(in)
}

// notKept is an answer that is no page of the figure as it was asked for.
type notKept struct{ *recorded }

func (notKept) Error() string { return "web: an answer that is not kept" }
