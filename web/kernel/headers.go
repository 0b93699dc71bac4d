package kernel

import (
	"net/http"
)

// contentPolicy lets a page load only what this app serves: no inline script or style, no foreign
// address, no frame around it. Pictures may also be data: and blob: (previews made in the browser).
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; " +
	"font-src 'self'; connect-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// securityHeaders sets the headers every answer carries. The referrer stays on this site, since an
// address can hold a link's token; 'no-referrer' would also blank the Origin that writes are
// checked by (Fetch standard, 'append a request Origin header').
func securityHeaders(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		h.Set("Cache-Control", "private, no-cache")
		h.Set("X-Robots-Tag", "noindex, nofollow") // an address with a link's token is nobody else's
		next.ServeHTTP(w, r)
	})
}
