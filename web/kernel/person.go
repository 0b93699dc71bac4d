package kernel

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"regexp"
	"time"
)

// PersonCookie keeps who somebody is on one browser: 128 random bits that nobody else ever sees. There are
// no accounts; the cookie only tells a person's own steps from those of others, for undo.
const PersonCookie = "tuckring_person"

var personPattern = regexp.MustCompile(`^[A-Za-z0-9_-]{22}$`)

// Person is who asks, and gives a browser that is not known yet its cookie. What others get to see is a
// digest, so that nobody can take another's place.
func Person(w http.ResponseWriter, r *http.Request) (id string) {
	c, err := r.Cookie(PersonCookie)
	if err == nil && personPattern.MatchString(c.Value) {
		return PersonOf(c.Value)
	}
	secret := make([]byte, 16)
	_, _ = rand.Read(secret) // never fails (crypto/rand, since Go 1.24)
	value := base64.RawURLEncoding.EncodeToString(secret)
	http.SetCookie(w, &http.Cookie{Name: PersonCookie, Value: value, Path: "/", MaxAge: int((400 * 24 * time.Hour).Seconds()), // the longest that browsers keep (RFC 6265bis)
		HttpOnly: true, SameSite: http.SameSiteLaxMode})
	return PersonOf(value)
}

func PersonOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return base64.RawURLEncoding.EncodeToString(sum[:12])
}
