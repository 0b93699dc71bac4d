package web_test

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web"
	"tuckring/web/webtest"
)

// FuzzRequests sends any request to the whole router, as the maker and by links of every power: the app answers, and
// never with a mistake of its own, and the shelf and the figure open afterwards.
func FuzzRequests(f *testing.F) {
	kept, err := store.Open(f.Context(), filepath.Join(f.TempDir(), "tuckring.db"))
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { _ = kept.Close() })
	s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: webtest.Quiet()})
	tube := figure.Tube("Tower", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "A", Hex: "#112233"}}, 12, 4)
	d, err := kept.Create(f.Context(), tube)
	if err != nil {
		f.Fatal(err)
	}
	bases := []string{"", "/d/" + d.ID}
	for _, power := range []store.Power{store.PowerView, store.PowerBuild, store.PowerEdit} {
		link, err := kept.MakeLink(f.Context(), d.ID, power)
		if err != nil {
			f.Fatal(err)
		}
		letter := "/v/"
		if power == store.PowerEdit {
			letter = "/e/"
		}
		bases = append(bases, letter+link.Token)
	}
	const form, json = "application/x-www-form-urlencoded", "application/json"
	for _, path := range []string{"/", "/new", "/report", "/kits?people=2", "/size?wish=height", "/check", "/state", "/history", "/at/0.svg", "/report/units.csv", "/handout-a4.pdf", "/running/check.css", "/../x", "/e/none", "/v/%00"} {
		for base := range bases {
			f.Add(uint8(base), "GET", path, "", "")
		}
	}
	f.Add(uint8(0), "POST", "/new", form, "title=Tower&units=12&rings=3&size=a9&ground=chalk&papers=chalk")
	f.Add(uint8(0), "POST", "/open", "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"document\"; filename=\"f\"\r\n\r\n{}\r\n--x--\r\n")
	f.Add(uint8(1), "POST", "/report", form, "people=3&spare=5&sheet=A4&currency=EUR")
	f.Add(uint8(1), "POST", "/size/swatch", form, "tube_name=x&unit_long=52&unit_short=37&unit_fold=doubled&tube_units=12&tube_rings=6&tube_measure=mm&tube_rounding=1&tube_diameter=60&tube_height=60")
	f.Add(uint8(4), "POST", "/size/apply", form, "units=13&rings=5")
	f.Add(uint8(4), "POST", "/edits", json, `{"client":"`+webtest.TestPage+`","steps":[{"seq":1,"edit":{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"a"}]}}]}`)
	f.Add(uint8(4), "POST", "/try", json, `{"edit":{"do":"set_count","rings":[2],"units":9}}`)
	f.Add(uint8(4), "POST", "/here", json, `{"client":"`+webtest.TestPage+`","name":"Mira","ring":1,"unit":2}`)
	f.Fuzz(func(t *testing.T, base uint8, method, path, kind, body string) {
		target := bases[int(base)%len(bases)] + path
		if !strings.HasPrefix(target, "/") || strings.ContainsAny(method+target, " \r\n\t\x00") || method == "" || len(method)+len(target) > 4096 || strings.Contains(path, "events") {
			t.Skip("no server hands on such a request line, and streams do not end")
		}
		if strings.HasSuffix(path, "/away") || strings.Contains(path, "revoke") {
			t.Skip("it takes away what the others look at")
		}
		ok := func() (ok bool) { // what net/http would not have parsed
			defer func() { ok = recover() == nil }()
			_ = httptest.NewRequest(method, target, nil)
			return true
		}()
		if !ok {
			t.Skip("no request line")
		}
		r := httptest.NewRequest(method, target, strings.NewReader(body))
		r.Header.Set("Content-Type", kind)
		if w := askAny(s, r); w.Code >= 500 && w.Code != 503 {
			t.Fatalf("%s %q: %d %s", method, target, w.Code, w.Body.String())
		}
		for _, after := range []string{"/", bases[1] + "/state"} {
			if w := askAny(s, webtest.Get(after)); w.Code != 200 {
				t.Fatalf("after %s %q: %s answers %d", method, target, after, w.Code)
			}
		}
	})
}

// askAny is ask without a test of its own.
func askAny(s *web.Server, r *http.Request) *httptest.ResponseRecorder {
	r.RemoteAddr, r.Host = "127.0.0.1:40000", "localhost:8080"
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}
