package web

import (
	"cmp"
	"context"
	"io"
	"net"
	"net/http"
	"net/netip"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"github.com/klauspost/compress/gzhttp"

	"tuckring/internal/figure"
)

// checkHost refuses requests that name a host which is not ours, so that a page elsewhere cannot
// reach the local app through a name of its own that it lets point here (DNS rebinding).
func (s *Server) checkHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.ownHost(r.Host) {
			s.fail(w, r, problem(CodeHost, "host", "Host", r.Host))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// ownHost tells whether host, with or without a port, names this app: this machine's loopback names,
// the host it listens on, and with LAN the machine's own addresses and name.
func (s *Server) ownHost(host string) bool {
	host = hostOnly(host)
	if host == "" {
		return false
	}
	if host == "localhost" || host == hostOnly(s.cfg.Listen) {
		return true
	}
	addr, err := netip.ParseAddr(host)
	if err == nil && addr.IsLoopback() {
		return true
	}
	if !s.cfg.LAN {
		return false
	}
	if err == nil {
		return ownAddress(addr)
	}
	name, err := os.Hostname()
	name = strings.ToLower(name)
	return err == nil && name != "" && (host == name || host == name+".local")
}

// hostOnly takes the host from "host:port", in lower case, without brackets or a closing dot.
func hostOnly(hostport string) string {
	host, _, err := net.SplitHostPort(hostport)
	if err != nil {
		host = hostport
	}
	host = strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
	return strings.ToLower(strings.TrimSuffix(host, "."))
}

// LANAddresses are this machine's addresses on its networks (IPv4, the ones people can type).
func LANAddresses() []net.IP {
	addrs, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var ips []net.IP
	for _, a := range addrs {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLoopback() && n.IP.To4() != nil && !n.IP.IsLinkLocalUnicast() {
			ips = append(ips, n.IP)
		}
	}
	return ips
}

// ownAddress tells whether addr belongs to one of this machine's network interfaces.
func ownAddress(addr netip.Addr) bool {
	addrs, err := net.InterfaceAddrs()
	if err != nil {
		return false
	}
	for _, a := range addrs {
		if own, err := netip.ParsePrefix(a.String()); err == nil && own.Addr() == addr.WithZone("") {
			return true
		}
	}
	return false
}

// checkOrigin refuses writes that another site's page makes a browser send (Go's own
// cross-origin protection: Sec-Fetch-Site, or Origin against Host).
func (s *Server) checkOrigin(next http.Handler) http.Handler {
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.fail(w, r, problem(CodeCrossOrigin, "cross_origin"))
	}))
	return guard.Handler(next)
}

// onlyHere lets only this machine itself pass: the shelf and everything a maker may do without a
// link. Others on the network use links.
func (s *Server) onlyHere(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !fromHere(r) {
			s.fail(w, r, problem(CodeForbidden, "only_here"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// fromHere tells whether the request comes from this machine: over its loopback, or from one of its
// own addresses, as when the app listens on one of them.
// A request that something on this machine passes on for somebody else does not.
func fromHere(r *http.Request) bool {
	for _, name := range forwardingHeaders {
		if r.Header.Get(name) != "" {
			return false
		}
	}
	peer, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return false
	}
	addr := peer.Addr().Unmap()
	return addr.IsLoopback() || ownAddress(addr)
}

// forwardingHeaders are set by whatever passes requests on for others (RFC 7239, RFC 9110 7.6.3, and common practice).
var forwardingHeaders = []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-Ip", "Via"}

// bodyTime is how long the body of a request may take to come: 4 MiB over a line of 40 kB/s.
const bodyTime = 2 * time.Minute

const (
	maxBody = figure.MaxBytes + 64<<10 // a document of the largest size and the form around it
	drain   = 64 << 20                 // read this much of an oversized body, so that a browser hears the answer
)

// limitBody keeps bodies under maxBody: a longer one that says so is refused at once, any other
// when it is read past the limit (then the handler returns *http.MaxBytesError).
func (s *Server) limitBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength > maxBody {
			_, _ = io.CopyN(io.Discard, r.Body, drain) // a browser that is cut off shows no answer at all
			s.fail(w, r, &http.MaxBytesError{Limit: maxBody})
			return
		}
		if r.ContentLength != 0 { // the server sets the next request's own deadline
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(cmp.Or(s.cfg.Body, bodyTime))) // a recorder in tests has none
		}
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		next.ServeHTTP(w, r)
	})
}

// compress packs what is text and longer than a network packet, as the reader's Accept-Encoding allows.
var compress = func() func(http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1400), gzhttp.CompressionLevel(5), gzhttp.ContentTypes([]string{
		"text/html", "text/css", "text/plain", "text/csv", "text/javascript", "application/json", "image/svg+xml", "model/gltf-binary", "application/octet-stream",
	}))
	if err != nil {
		panic(err) // the options are constants
	}
	return func(next http.Handler) http.Handler { return wrap(next) }
}()

// headAsGet answers HEAD as GET; the server leaves out the body (RFC 9110, 9.3.2).
func headAsGet(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodHead {
			r = r.WithContext(context.WithValue(r.Context(), headKey, true))
			r.Method = http.MethodGet
		}
		next.ServeHTTP(w, r)
	})
}

// headOnly tells whether only the head of the answer was asked for.
func headOnly(r *http.Request) bool { return r.Context().Value(headKey) != nil }

// recoverPanics turns a panic into the page of an internal problem, and logs where it came from.
func (s *Server) recoverPanics(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			if v == nil {
				return
			}
			if v == http.ErrAbortHandler { //nolint:errorlint // the documented way to compare it
				panic(v)
			}
			s.log.Error("panic", "method", r.Method, "path", r.URL.Path, "value", v, "stack", string(debug.Stack()))
			s.fail(w, r, problem(CodeInternal, "internal"))
		}()
		next.ServeHTTP(w, r)
	})
}

// lanHost replaces a loopback name in "host:port" by this machine's first address on its networks.
func lanHost(hostport string) string {
	host, port, err := net.SplitHostPort(hostport)
	if err != nil {
		host, port = hostport, "80"
	}
	addr, err := netip.ParseAddr(host)
	if host != "localhost" && (err != nil || !addr.IsLoopback()) {
		return hostport
	}
	if ips := LANAddresses(); len(ips) > 0 {
		return net.JoinHostPort(ips[0].String(), port)
	}
	return hostport
}
