package kernel

import (
	"net"
	"net/netip"
	"strings"
)

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

// LanHost replaces a loopback name in "host:port" by this machine's first address on its networks.
func LanHost(hostport string) string {
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
