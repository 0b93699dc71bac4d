package faults

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/web/e2e"
	"tuckring/web/webtest"
)

// patience is how long anything may take before it counts as held up for good; the busiest machine is faster.
const patience = 60 * time.Second

// app is the whole program on a real connection, with one figure in it and links to it.
type app struct {
	home       string
	kept       *store.Store
	id         string
	edit, view string // tokens
}

func running(t *testing.T, f *figure.Figure, body time.Duration) *app {
	t.Helper()
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "tuckring.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	d, err := s.Create(t.Context(), f)
	require.NoError(t, err)
	a := &app{kept: s, id: d.ID}
	for power, token := range map[store.Power]*string{store.PowerEdit: &a.edit, store.PowerView: &a.view} {
		l, err := s.MakeLink(t.Context(), d.ID, power)
		require.NoError(t, err)
		*token = l.Token
	}
	a.home = webtest.Running(t, s, body)
	return a
}

var asker = &http.Client{Timeout: patience, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}

// send sends a request by one person; kind is the body's media type.
func send(method, address string, person byte, kind, body string, headers ...string) (int, http.Header, string, error) {
	req, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		return 0, nil, "", err
	}
	webtest.By(person, req)
	if kind != "" {
		req.Header.Set("Content-Type", kind)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	answer, err := asker.Do(req)
	if err != nil {
		return 0, nil, "", err
	}
	defer func() { _ = answer.Body.Close() }()
	said, err := io.ReadAll(answer.Body)
	return answer.StatusCode, answer.Header, string(said), err
}

const asJSON = "application/json"

// steps is the body of a request for edits numbered from seq on.
func steps(seq int, edits ...string) string {
	var out []string
	for i, e := range edits {
		out = append(out, fmt.Sprintf(`{"seq":%d,"edit":%s}`, seq+i, e))
	}
	return fmt.Sprintf(`{"client":%q,"name":"Jon","steps":[%s]}`, webtest.TestPage, strings.Join(out, ","))
}

// inject sends a request and notes what was answered. What is refused must be told in words; nothing may be a mistake of ours.
func (r *row) inject(method, address, kind, body string, headers ...string) (status int, said string) {
	r.injected++
	status, head, said, err := send(method, address, 'g', kind, body, headers...)
	if err != nil {
		r.find("no answer: %v", err)
		return 0, ""
	}
	r.answer(status)
	switch {
	case status >= 500:
		r.find("answered %d: %s", status, said[:min(len(said), 200)])
	case status == http.StatusTooManyRequests && head.Get("Retry-After") == "":
		r.find("429 that does not say when to come again")
	case status >= 400 && method != http.MethodHead && !inWords(said):
		r.find("answered %d without words: %q", status, said[:min(len(said), 200)])
	case status >= 400:
		r.refused++
	}
	return status, said
}

// inWords tells whether a refusal says what is wrong and what would be right, as a page or as JSON.
func inWords(said string) bool {
	var told wire.Refusal
	if json.Unmarshal([]byte(said), &told) == nil {
		return told.What != "" && told.Fix != ""
	}
	return strings.Contains(said, "<h1")
}

func (r *row) answer(status int) {
	if r.answers == nil {
		r.answers = map[int]int{}
	}
	r.answers[status]++
}

// answered lists what was answered: "200 × 12, 429 × 3".
func (r *row) answered() string {
	var out []string
	for _, status := range slices.Sorted(maps.Keys(r.answers)) {
		out = append(out, fmt.Sprintf("%d × %d", status, r.answers[status]))
	}
	return strings.Join(out, ", ")
}

// paint makes a step as the maker, who must never be held up.
func (a *app) paint(r *row, seq int64) {
	raw := string(figure.EncodeEdit(stroke(seq)))
	status, _, said, err := send("POST", a.home+"/d/"+a.id+"/edits", 'm', asJSON, steps(int(seq), raw))
	var answer wire.EditsAnswer
	if err != nil || status != 200 || json.Unmarshal([]byte(said), &answer) != nil || len(answer.Results) != 1 || answer.Results[0].Refused != nil {
		r.find("the maker's step %d: %d %s %v", seq, status, said[:min(len(said), 200)], err)
		return
	}
	r.steps++
}

// stands looks whether the app is as it was before what was injected: its shelf opens, and the figure has the maker's steps only.
func (a *app) stands(t *testing.T, r *row, want string) {
	t.Helper()
	for _, path := range []string{"/", "/away", "/d/" + a.id} {
		if status, _, said, err := send("GET", a.home+path, 'm', "", ""); err != nil || status != 200 {
			r.find("%s afterwards: %d %s %v", path, status, said[:min(len(said), 200)], err)
		}
	}
	_, f, err := a.kept.Get(t.Context(), a.id)
	if err != nil {
		r.find("afterwards: %v", err)
	} else if want != "" && string(f.Write()) != want {
		r.find("the figure is another afterwards")
	}
}

// harm is what somebody with a link to paint together sends who wants to do harm.
type harm struct {
	name string
	many int
	edit string
}

const most = "9223372036854775807" // int64

// harms sends steps that no page sends; none may be carried out, end the server or shut the shelf.
func harms(t *testing.T) (rows []*row) {
	document, err := json.Marshal(string(tower().Write()))
	require.NoError(t, err)
	var unknown strings.Builder
	for i := range 250_000 {
		fmt.Fprintf(&unknown, `,"f%d":1`, i)
	}
	whole := `[{"id":1,"runs":[{"n":12,"colour":"brick"}]},{"id":2,"runs":[{"n":12,"colour":"brick"}]},{"id":3,"runs":[{"n":12,"colour":"brick"}]}]`
	for _, harm := range []harm{
		{"runs whose sum overflows", 25, `{"do":"reshape","ring":2,"runs":[{"n":1,"colour":"brick"},{"n":` + most + `,"colour":"brick"}]}`},
		{"ring 1 starts at −1", 25, `{"do":"reshape","ring":1,"start":-1,"runs":[{"n":12,"colour":"brick"}]}`},
		{"left out at 2⁶³ − 1", 25, `{"do":"leave_out","ring":2,"at":` + most + `,"n":1}`},
		{"2⁶³ − 1 left out", 25, `{"do":"leave_out","ring":2,"at":0,"n":` + most + `}`},
		{"all rings spliced out", 25, `{"do":"splice","after":0,"out":` + whole + `}`},
		{"identities used up", 25, `{"do":"become","document":` + string(document) + `,"keys":{"rings":[1,2,3],"extras":[],"next_ring":` + most + `,"next_extra":1}}`},
		{"250 000 unknown fields", 3, `{"do":"become"` + unknown.String() + `}`},
		{"turned by −2⁶³", 25, `{"do":"turn","rings":[2],"by":-9223372036854775808}`},
		{"2⁶³ − 1 rings", 25, `{"do":"insert_ring","above":1,"colour":"brick","count":` + most + `}`},
		{"a title that shows nothing", 25, `{"do":"set_title","title":"\u200b"}`},
		{"a title that turns the writing", 25, `{"do":"set_title","title":"\u202eTower"}`},
		{"a title of two lines", 25, `{"do":"set_title","title":"To\nwer"}`},
	} {
		r := &row{what: "by a link: " + harm.name}
		a := running(t, tower(), 0)
		seq := 1
		for range rounds(harm.many) {
			status, said := r.inject("POST", a.home+"/e/"+a.edit+"/edits", asJSON, steps(seq, harm.edit))
			if len(said) > 100_000 {
				r.find("answered with %d bytes", len(said))
			}
			if status != 200 {
				continue
			}
			seq++
			var answer wire.EditsAnswer
			if err := json.Unmarshal([]byte(said), &answer); err != nil || len(answer.Results) != 1 || answer.Results[0].Refused == nil {
				r.find("it was carried out: %s", said[:min(len(said), 200)])
				continue
			}
			r.refused++
		}
		a.paint(r, 1)
		a.stands(t, r, string(after(1).Write()))
		rows = append(rows, r)
	}
	return rows
}

// passedOn comes from this machine, but on behalf of another.
func passedOn(t *testing.T) *row {
	r := &row{what: "passed on, asking for the maker's pages"}
	a := running(t, tower(), 0)
	for _, header := range []string{"Forwarded", "X-Forwarded-For", "X-Real-IP", "Via"} {
		for _, path := range []string{"/", "/away", "/d/" + a.id, "/d/" + a.id + "/share", "/d/" + a.id + "/state"} {
			if status, _ := r.inject("GET", a.home+path, "", "", header, "203.0.113.9"); status != 403 {
				r.find("%s with %s: %d", path, header, status)
			}
		}
	}
	a.stands(t, r, string(tower().Write()))
	return r
}

// peak is the most memory that the process used while what ran.
func peak(what func()) (bytes uint64) {
	runtime.GC()
	stop, done := make(chan struct{}), make(chan uint64)
	go func() {
		most := uint64(0)
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapInuse+m.StackInuse)
			select {
			case <-stop:
				done <- most
				return
			case <-time.After(20 * time.Millisecond):
			}
		}
	}()
	what()
	close(stop)
	return <-done
}

// mayUse is how much memory the whole process may use at the worst, with those who ask in it.
const mayUse = 700 << 20

// large is a figure of as many units as one may have.
func large() *figure.Figure {
	return figure.Tube("Great wall", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b"}, {ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 1000, figure.MaxAllUnits/1000)
}

// costly asks for what takes long to make, many at once.
func costly(t *testing.T) *row {
	r := &row{what: "16 at once for the checks of 100 000 units"}
	a := running(t, large(), 0)
	used := peak(func() {
		var asked sync.WaitGroup
		var mu sync.Mutex
		for range 16 {
			asked.Go(func() {
				one := &row{}
				if status, _ := one.inject("GET", a.home+"/e/"+a.edit+"/check", "", ""); status != 200 && status != 429 {
					one.find("answered %d", status)
				}
				mu.Lock()
				defer mu.Unlock()
				r.injected, r.refused, r.found = r.injected+1, r.refused+one.refused, append(r.found, one.found...)
				for status := range one.answers {
					r.answer(status)
				}
			})
		}
		asked.Wait()
	})
	if used > mayUse {
		r.find("%d MB were used", used>>20)
	}
	a.stands(t, r, "")
	return r
}

// heavy asks for layouts that take long to search, in one request, while the maker goes on.
func heavy(t *testing.T) *row {
	r := &row{what: "12 papers in one request that lay out badly"}
	a := running(t, tower(), 0)
	var edits []string
	for i := range 12 {
		edits = append(edits, fmt.Sprintf(`{"do":"set_unit","long_mm":%.2f,"short_mm":3.1,"fold":"doubled"}`, 3.7+float64(i)/100))
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		r.inject("POST", a.home+"/e/"+a.edit+"/edits", asJSON, steps(1, edits...))
	}()
	maker := &row{}
	for seq := int64(1); seq <= 20; seq++ {
		a.paint(maker, seq)
	}
	<-done
	r.steps, r.found = maker.steps, append(r.found, maker.found...)
	a.stands(t, r, "")
	return r
}

// endless works by a link for as long as it is let, in a large figure.
func endless(t *testing.T) *row {
	r := &row{what: "work without end by a link"}
	a := running(t, large(), 0)
	var fill strings.Builder
	for ring := range figure.MaxAllUnits / 1000 {
		fmt.Fprintf(&fill, `,{"ring":%d,"at":0,"n":1000,"colour":"COLOUR"}`, ring+1)
	}
	edit := `{"do":"paint","runs":[` + fill.String()[1:] + `]}`
	for seq := 1; r.injected < 2000 && r.answers[429] < 10; {
		if status, _ := r.inject("POST", a.home+"/e/"+a.edit+"/edits", asJSON, steps(seq, strings.ReplaceAll(edit, "COLOUR", []string{"brick", "chalk"}[seq%2]))); status == 200 {
			seq++
		}
	}
	if r.answers[429] == 0 {
		r.find("it was never held up")
	}
	status, _, said, err := send("POST", a.home+"/d/"+a.id+"/edits", 'm', asJSON, steps(1, `{"do":"set_title","title":"Greater wall"}`))
	if err != nil || status != 200 {
		r.find("the maker is held up: %d %s %v", status, said, err)
	}
	d, _, err := a.kept.Get(t.Context(), a.id)
	require.NoError(t, err)
	r.steps = d.Rev
	if d.Rev != int64(r.answers[200])+1 {
		r.find("%d steps were answered, %d are there", r.answers[200]+1, d.Rev)
	}
	a.stands(t, r, "")
	return r
}

// hands tells of a hand that moves without end.
func hands(t *testing.T) *row {
	r := &row{what: "word of hands without end by a link"}
	a := running(t, tower(), 0)
	for i := range rounds(4000) {
		r.inject("POST", a.home+"/e/"+a.edit+"/here", asJSON, fmt.Sprintf(`{"client":%q,"name":"Jon","ring":1,"unit":%d}`, webtest.TestPage, i%units))
	}
	if r.answers[429] == 0 && all() {
		r.find("it was never held up")
	}
	a.paint(r, 1)
	a.stands(t, r, string(after(1).Write()))
	return r
}

// watchers open event streams by one link and read nothing of them.
func watchers(t *testing.T) *row {
	r := &row{what: "event streams that nobody reads"}
	a := running(t, tower(), 0)
	var open []net.Conn
	host := strings.TrimPrefix(a.home, "http://")
	before := runtime.NumGoroutine()
	for range rounds(200) {
		line, err := net.Dial("tcp", host)
		require.NoError(t, err)
		require.NoError(t, line.SetDeadline(time.Now().Add(patience)))
		_, err = fmt.Fprintf(line, "GET /v/%s/events?since=0 HTTP/1.1\r\nHost: %s\r\n\r\n", a.view, host)
		require.NoError(t, err)
		r.injected++
		answer, err := http.ReadResponse(bufio.NewReaderSize(line, 16), nil)
		if err != nil {
			r.find("no answer: %v", err)
			continue
		}
		if r.answer(answer.StatusCode); answer.StatusCode == 429 {
			r.refused++
		}
		open = append(open, line)
	}
	if r.answers[429] == 0 && all() {
		r.find("any number may be open")
	}
	used := peak(func() {
		for seq := int64(1); seq <= int64(rounds(400)); seq++ {
			a.paint(r, seq)
		}
	})
	if used > mayUse {
		r.find("%d MB were used", used>>20)
	}
	for _, line := range open {
		require.NoError(t, line.Close())
	}
	for end := time.Now().Add(patience); runtime.NumGoroutine() > before+20; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			r.find("%d are still served after they went away", runtime.NumGoroutine()-before)
			break
		}
	}
	a.stands(t, r, string(after(r.steps).Write()))
	return r
}

// ended turns links off under the streams of those who watch by them.
func ended(t *testing.T) *row {
	r := &row{what: "links turned off under those who watch"}
	a := running(t, tower(), 0)
	for seq := int64(1); seq <= int64(rounds(20)); seq++ {
		link, err := a.kept.MakeLink(t.Context(), a.id, store.PowerView)
		require.NoError(t, err)
		stream, err := asker.Get(fmt.Sprintf("%s/v/%s/events?since=%d", a.home, link.Token, seq-1))
		require.NoError(t, err)
		if status, _, said, err := send("POST", a.home+"/d/"+a.id+"/share/"+link.Token+"/revoke", 'm', "application/x-www-form-urlencoded", ""); err != nil || status >= 400 {
			r.find("not turned off: %d %s %v", status, said, err)
		}
		a.paint(r, seq)
		told, err := io.ReadAll(stream.Body)
		if err != nil {
			r.find("the stream goes on: %v", err)
		}
		if strings.Contains(string(told), "event: step") {
			r.find("steps are told after the link was turned off")
		}
		_ = stream.Body.Close()
		if status, _ := r.inject("GET", a.home+"/v/"+link.Token, "", ""); status != 404 && status != 410 {
			r.find("it opens the figure: %d", status)
		}
	}
	a.stands(t, r, string(after(r.steps).Write()))
	return r
}

// slow sends bodies that do not come.
func slow(t *testing.T) *row {
	r := &row{what: "bodies that do not come"}
	a := running(t, tower(), 300*time.Millisecond)
	host := strings.TrimPrefix(a.home, "http://")
	var asked sync.WaitGroup
	var mu sync.Mutex
	for i := range rounds(40) {
		asked.Go(func() {
			line, err := net.Dial("tcp", host)
			if err == nil {
				defer func() { _ = line.Close() }()
				_ = line.SetDeadline(time.Now().Add(patience))
				path := []string{"/new", "/open", "/e/" + a.edit + "/edits", "/e/" + a.edit + "/here"}[i%4]
				_, err = fmt.Fprintf(line, "POST %s HTTP/1.1\r\nHost: %s\r\nContent-Type: %s\r\nContent-Length: 1000\r\n\r\n{", path, host, []string{"application/x-www-form-urlencoded", asJSON}[i%4/2])
			}
			var answer []byte
			if err == nil {
				answer, err = io.ReadAll(line)
			}
			mu.Lock()
			defer mu.Unlock()
			if r.injected++; err != nil {
				var late net.Error
				if errors.As(err, &late) && late.Timeout() {
					r.find("it is waited for without end")
				}
			}
			if strings.HasPrefix(string(answer), "HTTP/1.1 2") {
				r.find("answered %.40s", answer)
			}
			var status int
			if _, err := fmt.Sscanf(string(answer), "HTTP/1.1 %d", &status); err == nil {
				r.answer(status)
			}
		})
	}
	a.paint(r, 1)
	asked.Wait()
	a.stands(t, r, string(after(1).Write()))
	return r
}

// cuts sends steps over a line that breaks before, within and after them, and sends each again until it is answered.
func cuts(t *testing.T) *row {
	r := &row{what: "lines cut while steps are sent"}
	a := running(t, tower(), 0)
	line := (&e2e.App{URL: a.home}).Line(t, 5)
	line.Rough()
	for seq := int64(1); seq <= int64(rounds(300)); {
		raw := string(figure.EncodeEdit(stroke(seq)))
		status, _, said, err := send("POST", line.URL+"/e/"+a.edit+"/edits", 'g', asJSON, steps(int(seq), raw))
		var answer wire.EditsAnswer
		if err != nil {
			continue // it was cut, and is sent again
		}
		if r.answer(status); status != 200 || json.Unmarshal([]byte(said), &answer) != nil || len(answer.Results) != 1 || answer.Results[0].Refused != nil || answer.Results[0].Rev != seq {
			r.find("step %d: %d %s", seq, status, said[:min(len(said), 200)])
			break
		}
		seq, r.steps = seq+1, r.steps+1
	}
	line.Heal()
	for _, n := range line.Cuts() {
		r.injected += n
	}
	if d, _, err := a.kept.Get(t.Context(), a.id); err != nil || d.Rev != r.steps {
		r.find("%d steps were answered, %d are there: %v", r.steps, d.Rev, err)
	}
	a.stands(t, r, string(after(r.steps).Write()))
	return r
}

// answersRight asks for what was answered wrongly once.
func answersRight(t *testing.T) *row {
	r := &row{what: "HEAD, what is known already, no packing, robots"}
	a := running(t, tower(), 0)
	expect := func(what string, ok bool) {
		if !ok {
			r.find("%s", what)
		}
	}
	for range rounds(10) {
		status, _ := r.inject("HEAD", a.home+"/v/"+a.view, "", "")
		expect("HEAD of a figure's page", status == 200)
		status, _, _, err := send("GET", a.home+"/robots.txt", 'g', "", "")
		expect("robots.txt", err == nil && status == 200)
		_, head, _, err := send("GET", a.home+"/v/"+a.view, 'g', "", "", "Accept-Encoding", "gzip;q=0")
		expect("packed for who takes none", err == nil && head.Get("Content-Encoding") == "")
		_, head, _, err = send("GET", a.home+"/v/"+a.view+"/pattern.svg", 'g', "", "")
		expect("a picture has no tag to know it by", err == nil && head.Get("ETag") != "")
		if tag := head.Get("ETag"); tag != "" {
			status, _ = r.inject("GET", a.home+"/v/"+a.view+"/pattern.svg", "", "", "If-None-Match", tag)
			expect("a picture that is known is sent again", status == 304)
		}
	}
	a.stands(t, r, string(tower().Write()))
	return r
}
