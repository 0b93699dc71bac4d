package e2e

import (
	"bytes"
	"context"
	"math/rand/v2"
	"net"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// Line is the way between browsers and the app, as a TCP proxy that can be broken, or rough: then it cuts
// connections that are in use, and refuses new ones for moments.
type Line struct {
	URL string // as App.URL, by way of the line

	app   string // address of the app
	ends  net.Listener
	rough atomic.Bool

	mu       sync.Mutex
	chance   *rand.Rand
	calls    map[*call]bool
	broken   bool      // nothing comes through
	refusing time.Time // no new connections until then
	posts    int       // that were cut so far
	events   int       // pieces that event streams brought while it was rough
	cuts     map[Cut]int
}

// Cut is how a connection was cut.
type Cut string

// The ways in which a connection is cut. The first four meet a post of edits, in turns.
const (
	CutBefore   Cut = "before a post"        // nothing of the post reaches the app
	CutWithin   Cut = "within a post"        // the app gets half of it
	CutUnheard  Cut = "before the answer"    // the app did it, the page hears nothing
	CutAnswer   Cut = "within the answer"    // the page gets half of the answer
	CutStream   Cut = "event stream"         // between two events
	CutEvent    Cut = "within an event"      // in the midst of one
	CutAll      Cut = "all connections"      // everything at once, and none for a moment
	CutRefusing Cut = "refused for a moment" // a new connection was not let through
)

// How rough a rough line is.
const (
	postShare   = 0.25                   // of the posts are cut
	eventTurn   = 12                     // of so many pieces that event streams bring, one breaks off
	allTurn     = 8                      // one of so many cuts in between takes everything
	stillLeast  = 120 * time.Millisecond // from one cut in between to the next
	stillMore   = 300 * time.Millisecond // at most so much longer
	refuseLeast = 200 * time.Millisecond // so long all new connections are refused
	refuseMore  = 600 * time.Millisecond // at most so much longer
	chunk       = 64 << 10               // bytes read at once
)

// EveryCut are all ways of cutting.
var EveryCut = []Cut{CutBefore, CutWithin, CutUnheard, CutAnswer, CutStream, CutEvent, CutAll, CutRefusing}

var postCuts = []Cut{CutBefore, CutWithin, CutUnheard, CutAnswer}

// call is one connection through the line.
type call struct {
	browser, app net.Conn
	stream       atomic.Bool         // it carries an event stream
	fate         atomic.Pointer[Cut] // what happens to the next answer
}

// Line lays a line to the app until the test ends. It lets everything through until it is made rough.
func (a *App) Line(t testing.TB, seed uint64) *Line {
	t.Helper()
	ends, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &Line{URL: "http://" + ends.Addr().String(), app: strings.TrimPrefix(a.URL, "http://"), ends: ends,
		chance: rand.New(rand.NewPCG(seed, 0)), calls: map[*call]bool{}, cuts: map[Cut]int{}}
	ctx, stop := context.WithCancel(context.Background())
	var open sync.WaitGroup
	open.Go(func() { l.accept(&open) })
	open.Go(func() { l.storm(ctx) })
	t.Cleanup(func() {
		stop()
		_ = ends.Close()
		l.cutAll()
		open.Wait()
	})
	return l
}

// Rough begins to cut connections; Heal ends it.
func (l *Line) Rough() { l.rough.Store(true) }

// Break cuts every connection and lets no new one through until Heal.
func (l *Line) Break() {
	l.mu.Lock()
	l.broken = true
	l.mu.Unlock()
	l.cutAll()
}

// Heal lets everything through from now on.
func (l *Line) Heal() {
	l.rough.Store(false)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.broken, l.refusing = false, time.Time{}
}

// Cuts tells how many connections were cut in each way so far.
func (l *Line) Cuts() map[Cut]int {
	l.mu.Lock()
	defer l.mu.Unlock()
	out := map[Cut]int{}
	for way, n := range l.cuts {
		out[way] = n
	}
	return out
}

func (l *Line) accept(open *sync.WaitGroup) {
	for {
		browser, err := l.ends.Accept()
		if err != nil {
			return
		}
		if l.refuses() {
			_ = browser.Close()
			continue
		}
		app, err := net.Dial("tcp", l.app)
		if err != nil {
			_ = browser.Close()
			continue
		}
		c := &call{browser: browser, app: app}
		if !l.carries(c) {
			l.end(c)
			continue
		}
		open.Go(func() { defer l.end(c); l.up(c) })
		open.Go(func() { defer l.end(c); l.down(c) })
	}
}

// carries takes a call on, unless the line broke while the app was being called.
func (l *Line) carries(c *call) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.calls[c] = !l.broken
	return !l.broken
}

func (l *Line) refuses() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.broken {
		return true
	}
	if !time.Now().Before(l.refusing) {
		return false
	}
	l.cuts[CutRefusing]++
	return true
}

// end closes both ends of a call, once.
func (l *Line) end(c *call) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.calls, c)
	_ = c.browser.Close()
	_ = c.app.Close()
}

// up carries what a browser sends.
func (l *Line) up(c *call) {
	for buf := make([]byte, chunk); ; {
		n, err := c.browser.Read(buf)
		if err != nil {
			return
		}
		verb, path, _ := bytes.Cut(buf[:n], []byte(" "))
		path, _, _ = bytes.Cut(path, []byte(" "))
		switch {
		case string(verb) == "GET" && bytes.Contains(path, []byte("/events?")):
			c.stream.Store(true)
		case string(verb) == "POST" && bytes.HasSuffix(path, []byte("/edits")):
			switch way := l.postFate(); way {
			case CutBefore:
				return
			case CutWithin:
				_, _ = c.app.Write(buf[:n/2])
				return
			case CutUnheard, CutAnswer:
				c.fate.Store(&way)
			}
		}
		if _, err := c.app.Write(buf[:n]); err != nil {
			return
		}
	}
}

// down carries what the app answers.
func (l *Line) down(c *call) {
	for buf := make([]byte, chunk); ; {
		n, err := c.app.Read(buf)
		if err != nil {
			return
		}
		if fate := c.fate.Swap(nil); fate != nil {
			if *fate == CutAnswer {
				_, _ = c.browser.Write(buf[:n/2])
			}
			return
		}
		if c.stream.Load() && l.eventFate() {
			_, _ = c.browser.Write(buf[:n/2])
			return
		}
		if _, err := c.browser.Write(buf[:n]); err != nil {
			return
		}
	}
}

// postFate decides what happens to a post; "" lets it through.
func (l *Line) postFate() Cut {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.rough.Load() || l.chance.Float64() >= postShare {
		return ""
	}
	way := postCuts[l.posts%len(postCuts)]
	l.posts++
	l.cuts[way]++
	return way
}

// eventFate decides whether a stream breaks off in the midst of what it brings.
func (l *Line) eventFate() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.rough.Load() {
		return false
	}
	l.events++
	if l.events%eventTurn != 0 {
		return false
	}
	l.cuts[CutEvent]++
	return true
}

// storm cuts a stream now and then, and sometimes everything.
func (l *Line) storm(ctx context.Context) {
	for turn := 0; ctx.Err() == nil; {
		select {
		case <-ctx.Done():
		case <-time.After(l.between(stillLeast, stillMore)):
		}
		if !l.rough.Load() {
			continue
		}
		if turn++; turn%allTurn == 1 {
			pause := l.between(refuseLeast, refuseMore)
			l.mu.Lock()
			l.refusing = time.Now().Add(pause)
			l.cuts[CutAll] += len(l.calls)
			l.mu.Unlock()
			l.cutAll()
			continue
		}
		l.cutStream()
	}
}

func (l *Line) between(least, more time.Duration) time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	return least + time.Duration(l.chance.Int64N(int64(more)))
}

// cutStream cuts one of the open event streams.
func (l *Line) cutStream() {
	l.mu.Lock()
	var streams []*call
	for c := range l.calls {
		if c.stream.Load() {
			streams = append(streams, c)
		}
	}
	if len(streams) == 0 {
		l.mu.Unlock()
		return
	}
	l.cuts[CutStream]++
	c := streams[l.chance.IntN(len(streams))]
	l.mu.Unlock()
	l.end(c)
}

func (l *Line) cutAll() {
	l.mu.Lock()
	var all []*call
	for c := range l.calls {
		all = append(all, c)
	}
	l.mu.Unlock()
	for _, c := range all {
		l.end(c)
	}
}
