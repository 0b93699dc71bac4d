package pattern

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/live"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// writeTime is how long a reader may need to take what is sent.
const writeTime = 30 * time.Second

// events sends what happens to a figure for as long as the reader listens (server-sent events, HTML Living
// Standard, 9.2). since is the revision that the reader knows; client, when given, is its open page.
func (s *room) events(w http.ResponseWriter, r *http.Request) error {
	since, err := sinceOf(r)
	if err != nil {
		return err
	}
	client := r.URL.Query().Get("client")
	if client != "" {
		if err := checkClient(client); err != nil {
			return err
		}
	}
	who := kernel.Person(w, r)
	var watcher *live.Watcher
	err = s.Store.Look(r.Context(), kernel.AccessOf(r).Design, func(n store.Now) error {
		watcher, err = s.Live.Join(n.ID, since, n.Rev, client, who, chi.URLParam(r, "token"))
		return err
	})
	if errors.Is(err, live.ErrFull) {
		return kernel.Crowd()
	}
	if err != nil {
		return err
	}
	defer watcher.Leave()
	if !s.stillOpen(r) { // it was turned off just before the watcher joined
		return kernel.NewProblem(wire.CodeNotFound, "no_link")
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	s.stream(w, r, watcher)
	return nil
}

// sinceOf is the revision that the reader knows: of the last event it got when the browser opens the stream
// anew by itself, otherwise of the address.
func sinceOf(r *http.Request) (int64, error) {
	since := r.Header.Get("Last-Event-ID")
	if since == "" {
		since = r.URL.Query().Get("since")
	}
	rev, err := strconv.ParseInt(since, 10, 64)
	if err != nil || rev < 0 {
		return 0, kernel.ProblemAt("since", "since")
	}
	return rev, nil
}

// stream writes events until the reader goes, the link is taken back or the app stops.
func (s *room) stream(w http.ResponseWriter, r *http.Request, watcher *live.Watcher) {
	out := http.NewResponseController(w)
	send := func(what string) bool {
		_ = out.SetWriteDeadline(time.Now().Add(writeTime)) // a recorder in tests has none
		_, err := io.WriteString(w, what)
		return errors.Join(err, out.Flush()) == nil
	}
	if kernel.HeadOnly(r) || !send("retry: 1000\n\n") {
		return
	}
	sign := time.NewTicker(wire.AliveEvery)
	defer sign.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-watcher.Ended():
			return
		case <-watcher.Ready():
			if ended(watcher) {
				return
			}
			for _, e := range watcher.Take() {
				if !send(eventText(e)) {
					return
				}
			}
		case <-sign.C:
			if !s.stillOpen(r) || !send("event: "+wire.Alive+"\ndata: {}\n\n") {
				return
			}
		}
	}
}

// ended tells whether the watcher's link was turned off; where several things are ready, that comes first.
func ended(watcher *live.Watcher) bool {
	select {
	case <-watcher.Ended():
		return true
	default:
		return false
	}
}

func eventText(e live.Event) string {
	id := ""
	if e.Rev > 0 {
		id = fmt.Sprintf("id: %d\n", e.Rev)
	}
	return fmt.Sprintf("%sevent: %s\ndata: %s\n\n", id, e.Name, e.Data)
}

// stillOpen says whether the link that a reader came by, if any, has not been taken back meanwhile.
func (s *room) stillOpen(r *http.Request) bool {
	token := chi.URLParam(r, "token")
	if token == "" {
		return true
	}
	_, err := s.Store.Resolve(r.Context(), token)
	return err == nil
}
