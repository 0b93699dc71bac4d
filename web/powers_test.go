package web_test

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/solid/solidtest"
	"tuckring/internal/store"
	"tuckring/static"
	"tuckring/web"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

// Every address of the app against everybody who may ask for it. The addresses come from the router itself, what each
// needs from the table below: an address that stands in only one of the two fails.

// need is what somebody has to be, or to have been given, so that an address answers.
type need int

const (
	nothing need = iota // files that tell of no figure
	shelf               // to sit at this machine; everybody else hears so
	maker               // the same, of a figure: for links the address is not there
	view                // any link to the figure
	build               // a link for building
	edit                // a link for painting together
)

// rule is what an address needs, and how it is asked so that it can answer.
type rule struct {
	need need
	with string // form or JSON of a POST, or the query of a GET
}

// aStroke paints unit 1 of ring 1.
const aStroke = `{"client":"client-0001","steps":[{"seq":1,"edit":{"do":"paint","colour":"soot","cells":[{"ring":1,"from":0,"n":1}]}}]}`

// aWish is what a solid is to become.
const aWish = "title=Buoy&height=12&ground=chalk"

// rules are the app's addresses. "{figure}" is the base of a figure's pages: "/d/{id}" for its maker, "/e/{token}" or
// "/v/{token}" for a link. What needs the maker stands below "/d/{id}" only.
var rules = map[string]rule{
	"GET /static/{version}/*":        {need: nothing},
	"GET /favicon.ico":               {need: nothing},
	"GET /robots.txt":                {need: nothing},
	"GET /":                          {need: shelf},
	"GET /away":                      {need: shelf},
	"GET /new":                       {need: shelf},
	"POST /new":                      {need: shelf, with: "title=Buoy"},
	"POST /new/picture":              {need: shelf, with: "title=Buoy"},
	"GET /new/shapes/{shape}.svg":    {need: nothing},
	"GET /figure.schema.json":        {need: nothing},
	"GET {figure}/tutorial.zip":      {need: maker, with: "small=yes"},
	"POST /new/solid":                {need: shelf, with: "title=Buoy"},
	"GET /new/solid/{key}":           {need: shelf, with: aWish},
	"POST /new/solid/{key}":          {need: shelf, with: aWish},
	"GET /new/solid/{key}/stand.bin": {need: shelf, with: aWish},
	"GET /new/solid/{key}/mesh.bin":  {need: shelf, with: aWish},
	"POST /open":                     {need: shelf, with: "document=x"},

	"GET {figure}/":                    {need: view},
	"GET {figure}/picture.svg":         {need: view},
	"GET {figure}/pattern.svg":         {need: view},
	"GET {figure}/pattern":             {need: view},
	"GET {figure}/running/{page}.css":  {need: view},
	"GET {figure}/handout-{paper}.pdf": {need: view},
	"GET {figure}/stand":               {need: view},
	"GET {figure}/stand.bin":           {need: view},
	"GET {figure}/figure.svg":          {need: view},
	"GET {figure}/figure.glb":          {need: view},
	"GET {figure}/report":              {need: view},
	"GET {figure}/report.json":         {need: view},
	"GET {figure}/report.xlsx":         {need: view},
	"GET {figure}/report/{table}.csv":  {need: view},
	"GET {figure}/list":                {need: view},
	"GET {figure}/cut":                 {need: view},
	"GET {figure}/kits":                {need: view},
	"GET {figure}/build":               {need: view},
	"GET {figure}/fold":                {need: view},
	"GET {figure}/fold/{picture}.svg":  {need: view},
	"GET {figure}/check":               {need: view},
	"GET {figure}/size":                {need: view},
	"GET {figure}/state":               {need: view},
	"GET {figure}/findings":            {need: view},
	"GET {figure}/events":              {need: view, with: "since=0"},

	"GET {figure}/rings":           {need: maker},
	"GET {figure}/rings/others":    {need: maker},
	"POST {figure}/edits":          {need: edit, with: aStroke},
	"POST {figure}/here":           {need: edit, with: `{"client":"client-0001","name":"","ring":1,"unit":0}`},
	"POST {figure}/try":            {need: edit, with: `{"do":"insert_ring","above":1}`},
	"POST {figure}/picture":        {need: edit, with: "GIF89a"},
	"POST {figure}/picture/try":    {need: edit, with: `{"picture":"none","lay":{"way":"flat","x":0,"y":0,"width":1,"height":1},"choice":{}}`},
	"POST {figure}/picture/sheets": {need: edit, with: `{"picture":"none","white":{"x":0,"y":0},"at":[{"x":1,"y":1}]}`},
	"POST {figure}/stand/try":      {need: edit, with: `{"edit":{"do":"turn","rings":[2],"by":1}}`},
	"GET {figure}/history":         {need: edit},
	"GET {figure}/at/{rev}.svg":    {need: edit},
	"POST {figure}/check":          {need: edit, with: "fix=none"},
	"POST {figure}/check/undo":     {need: edit},
	"POST {figure}/size/undo":      {need: edit},
	"POST {figure}/size/apply":     {need: edit},
	"POST {figure}/size/use":       {need: edit, with: "swatch="},
	"POST {figure}/size/lengths":   {need: edit, with: "inches=1"},
	"POST {figure}/report":         {need: edit, with: "spares=5"},
	"POST {figure}/report/unit":    {need: edit, with: "long=50&short=35"},

	"GET {figure}/document":               {need: maker},
	"POST {figure}/size/swatch":           {need: maker},
	"POST {figure}/size/forget":           {need: maker, with: "swatch=1"},
	"GET {figure}/share":                  {need: maker},
	"POST {figure}/share":                 {need: maker, with: "power=view"},
	"GET {figure}/share/{token}/code.svg": {need: maker},
	"POST {figure}/share/{token}/revoke":  {need: maker},
	"POST {figure}/away":                  {need: maker},
	"POST {figure}/back":                  {need: maker},
	"POST {figure}/go-on":                 {need: maker},
}

// What each room declares for its addresses is what the table above asks of them, and no address stands in only one.
func TestRoomsDeclareWhatTheirAddressesNeed(t *testing.T) {
	app, _ := webtest.Keeping(t)
	declared := map[kernel.Need][]need{
		kernel.NeedsNothing: {nothing}, kernel.NeedsMaker: {shelf, maker},
		kernel.NeedsView: {view}, kernel.NeedsBuild: {build}, kernel.NeedsEdit: {edit},
	}
	seen := map[string]bool{}
	for _, room := range app.Rooms() {
		for _, route := range room.Routes {
			address := route.Method + " " + route.Address
			if route.Address == kernel.OfFigure {
				address += "/"
			}
			seen[address] = true
			if r, known := rules[address]; assert.True(t, known, "%s is in no rule", address) {
				assert.Contains(t, declared[route.Needs], r.need, "%s of %s", address, room.Name)
				assert.Equal(t, strings.HasPrefix(route.Address, kernel.OfFigure), r.need != shelf && r.need != nothing, address)
			}
		}
	}
	for address, r := range rules {
		if r.need != nothing && !strings.Contains(address, "/running/") { // static files and running heads are the kernel's own
			assert.True(t, seen[address], "%s is in no room", address)
		}
	}
}

// harbour is an app with two figures, and links to the first of every kind.
type harbour struct {
	app                           *web.Server
	store                         *store.Store
	figure                        string
	view, build, edit, off, ferry string // tokens; off was turned off, ferry paints the other figure
}

const secretTitle, otherTitle = "Secret lighthouse", "Open ferry"

func newHarbour(t *testing.T) *harbour {
	t.Helper()
	ctx := context.Background()
	kept, err := store.Open(ctx, filepath.Join(t.TempDir(), "harbour.db"))
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, kept.Close()) })
	h := &harbour{store: kept, app: web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: slog.New(slog.NewTextHandler(io.Discard, nil))})}
	h.figure = h.keep(t, secretTitle)
	other := h.keep(t, otherTitle)
	for token, of := range map[*string]struct {
		figure string
		power  store.Power
	}{&h.view: {h.figure, store.PowerView}, &h.build: {h.figure, store.PowerBuild}, &h.edit: {h.figure, store.PowerEdit}, &h.off: {h.figure, store.PowerEdit}, &h.ferry: {other, store.PowerEdit}} {
		link, err := kept.MakeLink(ctx, of.figure, of.power)
		require.NoError(t, err)
		*token = link.Token
	}
	require.NoError(t, kept.RevokeLink(ctx, h.figure, h.off))
	return h
}

func (h *harbour) keep(t *testing.T, title string) string {
	t.Helper()
	d, err := h.store.Create(context.Background(), figure.Tube(title, figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}}, 8, 4))
	require.NoError(t, err)
	return d.ID
}

// visitor is somebody who asks, from somewhere, by some base.
type visitor struct {
	name   string
	base   func(h *harbour) string // of the figure's pages
	peer   string                  // "" for another machine on the network
	header map[string]string
	// refused gives the status with which an address that needs something is refused, 0 where it answers.
	refused func(method string, n need) int
}

const here, elsewhere = "127.0.0.1:40000", "192.0.2.7:40000" // a documentation address (RFC 5737)

// byLink refuses what a link's power does not hold; what needs the maker is not there for links at all.
func byLink(most need) func(string, need) int {
	return func(_ string, n need) int {
		switch {
		case n == nothing || n >= view && n <= most:
			return 0
		case n == maker:
			return http.StatusNotFound
		}
		return http.StatusForbidden
	}
}

// shut finds nothing behind a link.
func shut(_ string, n need) int {
	if n == nothing || n == shelf {
		return outside("", n)
	}
	return http.StatusNotFound
}

// outside may have only what tells of no figure.
func outside(_ string, n need) int {
	if n == nothing {
		return 0
	}
	return http.StatusForbidden
}

func visitors() []visitor {
	at := func(letter string, token func(h *harbour) string) func(h *harbour) string {
		return func(h *harbour) string { return "/" + letter + "/" + token(h) }
	}
	makers := func(h *harbour) string { return "/d/" + h.figure }
	list := []visitor{
		{name: "link for painting together", base: at("e", func(h *harbour) string { return h.edit }), refused: byLink(edit)},
		{name: "link for building", base: at("v", func(h *harbour) string { return h.build }), refused: byLink(build)},
		{name: "link for viewing", base: at("v", func(h *harbour) string { return h.view }), refused: byLink(view)},
		{name: "link for viewing where one paints", base: at("e", func(h *harbour) string { return h.view }), refused: shut},
		{name: "link for painting where one views", base: at("v", func(h *harbour) string { return h.edit }), refused: shut},
		{name: "no such link", base: at("e", func(*harbour) string { return "a" + strings.Repeat("b", 21) }), refused: shut},
		{name: "link that was turned off", base: at("e", func(h *harbour) string { return h.off }), refused: shut},
		{name: "link to another figure", base: at("e", func(h *harbour) string { return h.ferry }), refused: byLink(edit)},
		{name: "another machine", base: makers, refused: outside},
		{name: "page of another site", base: makers, peer: here, header: map[string]string{"Sec-Fetch-Site": "cross-site"}, refused: crossSite},
		{name: "page of another site, by its Origin", base: makers, peer: here, header: map[string]string{"Origin": "http://elsewhere.example"}, refused: crossSite},
		{name: "page of another site, by a link", base: at("e", func(h *harbour) string { return h.edit }), header: map[string]string{"Sec-Fetch-Site": "cross-site"}, refused: func(method string, n need) int {
			if status := crossSite(method, n); status != 0 {
				return status
			}
			return byLink(edit)(method, n)
		}},
	}
	for _, name := range []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-Ip", "Via"} { // RFC 7239, RFC 9110 7.6.3, common practice
		list = append(list, visitor{name: "passed on with " + name, base: makers, peer: here, header: map[string]string{name: "198.51.100.4"}, refused: outside})
	}
	// The maker comes last: what the maker may do changes the figure.
	return append(list, visitor{name: "maker", base: makers, peer: here, refused: func(string, need) int { return 0 }})
}

// crossSite refuses writes, from wherever they come.
func crossSite(method string, _ need) int {
	if method == http.MethodPost {
		return http.StatusForbidden
	}
	return 0
}

// addresses are those of the router, "GET {figure}/report", each once, with the bases it stands below.
func addresses(t *testing.T, app *web.Server) map[string][]string {
	t.Helper()
	found := map[string][]string{}
	require.NoError(t, chi.Walk(app.Routes(), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		for _, base := range []string{"/d/{id}", "/e/{token}", "/v/{token}"} {
			if below, ok := strings.CutPrefix(route, base); ok {
				found[method+" {figure}"+below] = append(found[method+" {figure}"+below], base)
				return nil
			}
		}
		found[method+" "+route] = nil
		return nil
	}))
	return found
}

func TestEveryAddressHasARuleAndEveryRuleAnAddress(t *testing.T) {
	found := addresses(t, newHarbour(t).app)
	assert.Empty(t, withoutRule(found), "say what these need")
	for address, bases := range found {
		r := rules[address]
		if bases == nil {
			continue
		}
		slices.Sort(bases)
		if r.need == maker {
			assert.Equal(t, []string{"/d/{id}"}, bases, address)
			continue
		}
		assert.Equal(t, []string{"/d/{id}", "/e/{token}", "/v/{token}"}, bases, address)
	}
	for address := range rules {
		assert.Contains(t, found, address, "the router has no such address")
	}
}

// TestEveryAddressAnswersWhomItShould asks for every address as everybody.
func TestEveryAddressAnswersWhomItShould(t *testing.T) {
	for address := range addresses(t, newHarbour(t).app) {
		t.Run(address, func(t *testing.T) {
			t.Parallel()
			h := newHarbour(t)
			for _, v := range visitors() {
				h.visit(t, address, v)
			}
		})
	}
}

func (h *harbour) visit(t *testing.T, address string, v visitor) {
	t.Helper()
	method, route, _ := strings.Cut(address, " ")
	want := v.refused(method, rules[address].need)
	before := h.rev(t)
	got := h.ask(method, route, v)
	if want != 0 {
		assert.Equal(t, want, got.Code, "%s for %s", address, v.name)
		assert.NotContains(t, got.Body.String(), secretTitle, "%s for %s tells of the figure", address, v.name)
		assert.Equal(t, before, h.rev(t), "%s for %s changed the figure", address, v.name)
		return
	}
	answers := []int{200, 303}
	if method == http.MethodPost { // by then the guards have let it through
		answers = append(answers, 204, 400, 409, 422)
	}
	assert.Contains(t, answers, got.Code, "%s for %s: %s", address, v.name, got.Body)
	if v.name == "link to another figure" {
		assert.NotContains(t, got.Body.String(), secretTitle, "%s for %s tells of the figure", address, v.name)
		assert.Equal(t, before, h.rev(t), "%s for %s changed the figure", address, v.name)
	}
}

func (h *harbour) rev(t *testing.T) int64 {
	t.Helper()
	d, _, err := h.store.Get(context.Background(), h.figure)
	require.NoError(t, err)
	return d.Rev
}

// listener keeps an answer that never ends until its first words have come, however busy the machine is.
type listener struct {
	*httptest.ResponseRecorder
	heard func()
}

func (l *listener) WriteHeader(code int) {
	l.ResponseRecorder.WriteHeader(code)
	l.heard()
}

func (l *listener) Write(b []byte) (int, error) {
	n, err := l.ResponseRecorder.Write(b)
	l.heard()
	return n, err
}

func (h *harbour) ask(method, route string, v visitor) *httptest.ResponseRecorder {
	r := rules[method+" "+route]
	if before, after, ok := strings.Cut(route, "{key}"); ok {
		route = before + h.sendSolid() + after
	}
	path := strings.NewReplacer("{figure}", v.base(h), "{version}/*", static.Version()+"/icon.svg", "{token}", h.view,
		"{page}", "list", "{paper}", "a4", "{table}", "colours", "{rev}", "0", "{shape}", "egg", "{picture}", "two").Replace(route)
	body, kind := "", ""
	switch {
	case method == http.MethodGet && r.with != "":
		path += "?" + r.with
	case strings.HasPrefix(r.with, "{"):
		body, kind = r.with, "application/json"
	default:
		body, kind = r.with, "application/x-www-form-urlencoded"
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	request := httptest.NewRequestWithContext(ctx, method, path, strings.NewReader(body))
	request.Host = "127.0.0.1:8080"
	request.RemoteAddr = elsewhere
	if v.peer != "" {
		request.RemoteAddr = v.peer
	}
	if method == http.MethodPost {
		request.Header.Set("Content-Type", kind)
	}
	for name, value := range v.header {
		request.Header.Set(name, value)
	}
	w := httptest.NewRecorder()
	if strings.HasSuffix(route, "/events") {
		h.app.ServeHTTP(&listener{w, cancel}, request)
	} else {
		h.app.ServeHTTP(w, request)
	}
	return w
}

// sendSolid opens a solid, as the maker does, and gives its key.
func (h *harbour) sendSolid() string {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, _ := form.CreateFormFile("file", "buoy.stl") // a buffer takes everything
	_, _ = part.Write(solidtest.Cylinder(60, 120, 12, 2).STL())
	_ = form.Close()
	r := httptest.NewRequest("POST", "/new/solid", &body)
	r.Host, r.RemoteAddr = "127.0.0.1:8080", here
	r.Header.Set("Content-Type", form.FormDataContentType())
	w := httptest.NewRecorder()
	h.app.ServeHTTP(w, r)
	key, _, _ := strings.Cut(strings.TrimPrefix(w.Header().Get("Location"), "/new/solid/"), "?")
	return key
}

// withoutRule are the addresses that no rule speaks of.
func withoutRule(found map[string][]string) (without []string) {
	for address := range found {
		if _, ok := rules[address]; !ok {
			without = append(without, address)
		}
	}
	slices.Sort(without)
	return without
}

// TestAnAddressWithoutARuleIsFound adds some to a router, as a new page would.
func TestAnAddressWithoutARuleIsFound(t *testing.T) {
	app := newHarbour(t).app
	attic := func(http.ResponseWriter, *http.Request) {}
	router := app.Routes().(chi.Router)
	router.Get("/attic", attic)
	router.Post("/e/{token}/report", attic) // there already, with a rule
	router.Post("/v/{token}/attic", attic)
	assert.Equal(t, []string{"GET /attic", "POST {figure}/attic"}, withoutRule(addresses(t, app)))
}
