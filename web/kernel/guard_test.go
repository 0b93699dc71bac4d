package kernel

import (
	"net"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestForeignHostIsRefused(t *testing.T) {
	tests := []struct {
		host string
		ok   bool
	}{
		{"localhost", true},
		{"localhost:8080", true},
		{"LOCALHOST:8080", true},
		{"127.0.0.1:8080", true},
		{"[::1]:8080", true},
		{"[::1]", true},
		{"evil.example", false},
		{"localhost.evil.example:8080", false},
		{"127.0.0.1.evil.example", false},
		{"192.168.1.20:8080", false},
		{"", false},
	}
	s := bare()
	for _, tt := range tests {
		r := httptest.NewRequest("GET", "/static/"+s.static+"/icon.svg", nil)
		r.Host = tt.host
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if tt.ok {
			assert.Equal(t, 200, w.Code, tt.host)
			continue
		}
		assert.Equal(t, http.StatusMisdirectedRequest, w.Code, tt.host) // RFC 9110, 15.5.20
		assert.Contains(t, w.Body.String(), "Wrong name for this computer", tt.host)
	}
}

func TestListenHostIsOwn(t *testing.T) {
	s := bare(Config{Listen: "workbench.example:8080"})
	assert.True(t, s.ownHost("workbench.example:8080"))
	assert.False(t, s.ownHost("kitchen.example:8080"))
}

func TestLANAcceptsTheMachinesOwnAddresses(t *testing.T) {
	addrs, err := net.InterfaceAddrs()
	require.NoError(t, err)
	lan, local := bare(Config{LAN: true}), bare()
	for _, a := range addrs {
		ip := a.(*net.IPNet).IP
		host := net.JoinHostPort(ip.String(), "8080")
		assert.True(t, lan.ownHost(host), host)
		assert.Equal(t, ip.IsLoopback(), local.ownHost(host), host)
	}
	assert.False(t, lan.ownHost("203.0.113.7:8080"), "a documentation address (RFC 5737) is never ours")
}

func TestPanicBecomesAPage(t *testing.T) {
	s := bare()
	h := withLanguage(s.recoverPanics(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("secret detail") })))
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
	assert.Equal(t, 500, w.Code)
	assert.Contains(t, w.Body.String(), "Something went wrong")
	assert.NotContains(t, w.Body.String(), "secret detail")
}

func TestOnlyThisMachineMayPassOnlyHere(t *testing.T) {
	s := bare()
	h := s.onlyHere(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(204) }))
	peers := map[string]int{"127.0.0.1:5": 204, "[::1]:5": 204, "[::ffff:127.0.0.1]:5": 204, "203.0.113.9:5": 403, "[fe80::1%eth0]:5": 403, "203.0.113.7:5": 403}
	for _, ip := range LANAddresses() {
		peers[net.JoinHostPort(ip.String(), "5")] = 204 // this machine, by another of its addresses
	}
	for peer, want := range peers {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = peer
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		assert.Equal(t, want, w.Code, peer)
	}
}

// RFC 7239, RFC 9110 7.6.3 and, for all that begins with X- and what services in front of sites set, common practice.
func TestWhatIsPassedOnDoesNotComeFromThisMachine(t *testing.T) {
	for _, name := range []string{
		"Forwarded", "Via", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Forwarded-Port", "X-Forwarded-Server",
		"X-Forwarded-Prefix", "X-Real-IP", "X-Client-IP", "True-Client-IP", "CF-Connecting-IP", "X-Cluster-Client-IP",
	} {
		for _, value := range []string{"203.0.113.9", ""} { // a header that is there and empty was set by somebody too
			r := httptest.NewRequest("GET", "/", nil)
			r.RemoteAddr = "127.0.0.1:5"
			r.Header.Set(name, value)
			assert.False(t, fromHere(r), "%s: %q", name, value)
		}
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.RemoteAddr = "127.0.0.1:5"
	r.Header.Set("X-Requested-With", "fetch") // what a page of ours may send
	assert.True(t, fromHere(r))
}
