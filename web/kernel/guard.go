package kernel

import (
	"cmp"
	"io"
	"net/http"
	"net/netip"
	"os"
	"strings"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/wire"
)

// checkHost refuses requests that name a host which is not ours, so that a page elsewhere cannot
// reach the local app through a name of its own that it lets point here (DNS rebinding).
func (s *App) checkHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.ownHost(r.Host) {
			s.fail(w, r, NewProblem(wire.CodeHost, "host", "Host", r.Host))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// ownHost tells whether host, with or without a port, names this app: this machine's loopback names,
// the host it listens on, and with LAN the machine's own addresses and name.
func (s *App) ownHost(host string) bool {
	host = hostOnly(host)
	if host == "" {
		return false
	}
	if host == "localhost" || host == hostOnly(s.Listen) {
		return true
	}
	addr, err := netip.ParseAddr(host)
	if err == nil && addr.IsLoopback() {
		return true
	}
	if !s.LAN {
		return false
	}
	if err == nil {
		return ownAddress(addr)
	}
	name, err := os.Hostname()
	name = strings.ToLower(name)
	return err == nil && name != "" && (host == name || host == name+".local")
}

// checkOrigin refuses writes that another site's page makes a browser send (Go's own
// cross-origin protection: Sec-Fetch-Site, or Origin against Host).
func (s *App) checkOrigin(next http.Handler) http.Handler {
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.fail(w, r, NewProblem(wire.CodeCrossOrigin, "cross_origin"))
	}))
	return guard.Handler(next)
}

// onlyHere lets only this machine itself pass: the shelf and everything a maker may do without a
// link. Others on the network use links.
func (s *App) onlyHere(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !fromHere(r) {
			s.fail(w, r, NewProblem(wire.CodeForbidden, "only_here"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// fromHere tells whether the request comes from this machine: over its loopback, or from one of its
// own addresses, as when the app listens on one of them.
// A request that something on this machine passes on for somebody else does not.
func fromHere(r *http.Request) bool {
	if passedOn(r.Header) {
		return false
	}
	peer, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return false
	}
	addr := peer.Addr().Unmap()
	return addr.IsLoopback() || ownAddress(addr)
}

// passedOn tells a request that something passes on for somebody else. That a header is there says so, whatever it
// holds: who passes on and hides for whom leaves it empty.
func passedOn(h http.Header) bool {
	for name := range h {
		name = http.CanonicalHeaderKey(name)
		if forwardingHeaders[name] || strings.HasPrefix(name, "X-Forwarded-") {
			return true
		}
	}
	return false
}

// forwardingHeaders are set by whatever passes requests on for others (RFC 7239, RFC 9110 7.6.3, and common practice),
// beside all that begin with X-Forwarded-. They are written as http.CanonicalHeaderKey writes them.
var forwardingHeaders = map[string]bool{
	"Forwarded": true, "Via": true, "X-Real-Ip": true, "X-Client-Ip": true, "X-Cluster-Client-Ip": true, "True-Client-Ip": true, "Cf-Connecting-Ip": true,
}

// bodyTime is how long the body of a request may take to come: 4 MiB over a line of 40 kB/s.
const bodyTime = 2 * time.Minute

const (
	MaxBody = figure.MaxBytes + 64<<10 // a document of the largest size and the form around it
	drain   = 64 << 20                 // read this much of an oversized body, so that a browser hears the answer
)

// limitBody keeps bodies under MaxBody, or what their address allows: a longer one that says so is refused at once, any other
// when it is read past the limit (then the handler returns *http.MaxBytesError).
func (s *App) limitBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		most := cmp.Or(s.bodies[r.URL.Path].Body, MaxBody)
		if r.ContentLength > most {
			_, _ = io.CopyN(io.Discard, r.Body, drain) // a browser that is cut off shows no answer at all
			s.fail(w, r, &http.MaxBytesError{Limit: most})
			return
		}
		if r.ContentLength != 0 { // the server sets the next request's own deadline
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(cmp.Or(s.Body, bodyTime))) // a recorder in tests has none
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		next.ServeHTTP(w, r)
	})
}
