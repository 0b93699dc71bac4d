package e2e_test

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// People paint one design at once, each in a real browser with connections of its own, over a line that cuts
// them at random (issue 3). In the end every screen shows the stored figure, and the log has every stroke
// once. What a screen shows is read from the pixels of its grid.

// The figure that everybody paints.
const sharedUnits, sharedRings = 24, 30

// letters stand for the papers in what screens show: the ground, then two for each of eight people.
const letters = ".AaBbCcDdEeFfGgHh"

// paperHex is a paper's colour: no two are nearer than 100 in a channel.
func paperHex(i int) string {
	levels := []int{40, 140, 240}
	return fmt.Sprintf("#%02x%02x%02x", levels[i%3], levels[i/3%3], levels[i/9%3])
}

func sharedFigure() *figure.Figure {
	var papers []figure.Colour
	for i, letter := range letters {
		papers = append(papers, figure.Colour{ID: fmt.Sprint("p", i), Name: "Paper " + string(letter), Hex: paperHex(i)})
	}
	f := figure.Tube("Pier head", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, papers, sharedUnits, sharedRings)
	for i := range letters {
		f.Rings[i].Cells[i].Colour = uint8(i) // so that reading the screens is itself put to the test
	}
	return f
}

// shownAs is a figure as screens are read: a line of letters a ring, ring 1 first.
func shownAs(f *figure.Figure) string {
	var b strings.Builder
	for _, ring := range f.Rings {
		for _, cell := range ring.Cells {
			b.WriteByte(letters[cell.Colour])
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// readGrid makes the page able to tell where a unit is and what it shows. The right leaf of a unit is its
// paper, a sixth darker (#1c1a22), as tile.ts draws it.
const readGrid = `((units, rings, hexes) => {
	const focus = document.querySelector("[role=gridcell][tabindex='0']");
	const cells = [...document.querySelectorAll("[role=gridcell]")].map(c => ({cell: c, at: c.ariaLabel.match(/ring (\d+), unit (\d+)/).map(Number), box: c.getBoundingClientRect()}));
	const middle = cells.find(c => c.cell === focus);
	const x0 = middle.box.left + middle.box.width / 2;
	const near = [1, 2].map(ring => cells.filter(c => c.at[1] === ring).sort((a, b) => Math.abs(a.box.left - middle.box.left) - Math.abs(b.box.left - middle.box.left))[0]);
	const w = middle.box.width, h = middle.box.height / 2;
	const unitXY = (ring, unit) => {
		const from = near[(ring - 1) % 2];
		let x = from.box.left + w / 2 + (unit + 1 - from.at[2]) * w;
		while (x > x0 + units * w / 2 + 0.01) x -= units * w;
		while (x < x0 - units * w / 2 - 0.01) x += units * w;
		return [x, from.box.top - (ring - from.at[1]) * h];
	};
	const rgb = hexes.map(hex => [1, 3, 5].map((i, k) => { const v = parseInt(hex.slice(i, i + 2), 16); return v + ([28, 26, 34][k] - v) * 0.16; }));
	const canvas = document.querySelector(".paper-layer"), box = canvas.getBoundingClientRect(), scale = canvas.width / box.width;
	const letter = (image, x, y) => {
		const i = 4 * (Math.floor((y - box.top) * scale) * image.width + Math.floor((x - box.left) * scale));
		const off = rgb.map(c => Math.max(...c.map((v, k) => Math.abs(v - image.data[i + k]))));
		const best = off.indexOf(Math.min(...off));
		return off[best] < 20 ? LETTERS[best] : "?";
	};
	window.unitShows = async (ring, unit) => {
		await new Promise(done => requestAnimationFrame(done)); // what was painted last is on the grid by then
		const [x, y] = unitXY(ring, unit);
		if (!isFree(x, y + 0.98 * h)) return "";
		const one = canvas.getContext("2d").getImageData(Math.floor((x + 0.22 * w - box.left) * scale), Math.floor((y + 1.2 * h - box.top) * scale), 1, 1);
		const off = rgb.map(c => Math.max(...c.map((v, k) => Math.abs(v - one.data[k]))));
		return LETTERS[off.indexOf(Math.min(...off))];
	};
	window.wholeGrid = () => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => {
		const image = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
		let out = "";
		for (let ring = 1; ring <= rings; ring++) {
			for (let unit = 0; unit < units; unit++) {
				const [x, y] = unitXY(ring, unit);
				out += letter(image, x + 0.22 * w, y + 1.2 * h);
			}
			out += "\n";
		}
		done(out);
	})));
	window.isFree = (x, y) => !!document.elementFromPoint(x, y)?.closest(".stage") && !document.elementFromPoint(x, y).closest("button, a, input, .bar, .notes");
	const places = [];
	for (let ring = 1; ring <= rings; ring++) for (let unit = 0; unit < units; unit++) {
		const [x, y] = unitXY(ring, unit);
		places.push([x, y + 0.98 * h]);
	}
	return places;
})`

// hand is a person who paints.
type hand struct {
	who     *e2e.Person
	own     [2]int // places of the own papers in the palette
	chance  *rand.Rand
	places  [][2]float64 // of all units in the window, ring after ring
	strokes int
	client  string
}

func sitDown(t testing.TB, app *e2e.App, address string, i int) *hand {
	t.Helper()
	h := &hand{own: [2]int{1 + 2*i, 2 + 2*i}, chance: rand.New(rand.NewPCG(uint64(i), 1))}
	if i%2 == 0 {
		h.who = app.Screen(t, 1280, 800, false)
	} else {
		h.who = app.Screen(t, 390, 844, false)
	}
	p := h.who
	p.Patient(time.Minute)
	p.Open(address)
	_ = e2e.Eval[bool](p, fmt.Sprintf(`localStorage.setItem("tuckring:name", %q), true`, "Painter "+letters[1+2*i:2+2*i]))
	p.Open(address) // nobody asks for the name now
	p.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
	_ = e2e.Eval[bool](p, "document.fonts.ready.then(() => true)") // names may be wider in it, and the grid lower
	p.Press("Show all")
	_ = e2e.Eval[bool](p, "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")
	var hexes []string
	for i := range letters {
		hexes = append(hexes, fmt.Sprintf("%q", paperHex(i)))
	}
	h.places = e2e.Eval[[][2]float64](p, strings.ReplaceAll(readGrid, "LETTERS", fmt.Sprintf("%q", letters))+
		fmt.Sprintf("(%d, %d, [%s])", sharedUnits, sharedRings, strings.Join(hexes, ",")))
	h.client = e2e.Eval[string](p, `sessionStorage.getItem("tuckring:client:" + document.querySelector("#pattern").dataset.base)`)
	require.NotEmpty(t, h.client)
	return h
}

// shows is what the grid shows, once all that came is painted.
func (h *hand) shows() string { return e2e.Eval[string](h.who, "wholeGrid()") }

// sent is how many steps the page has numbered so far.
func (h *hand) sent() int {
	return e2e.Eval[int](h.who, fmt.Sprintf(`JSON.parse(localStorage.getItem("tuckring:page:" + document.querySelector("#pattern").dataset.base + ":%s")).next - 1`, h.client))
}

// stroke draws once at a random place. It begins on a unit that shows another paper than the one in hand,
// which nobody else has: so it is sure to change something, and to be a step.
func (h *hand) stroke() {
	ring, unit := 1+h.chance.IntN(sharedRings), h.chance.IntN(sharedUnits)
	shown := e2e.Eval[string](h.who, fmt.Sprintf("unitShows(%d, %d)", ring, unit))
	if shown == "" {
		return // a button lies over it
	}
	paper := h.own[h.chance.IntN(2)]
	if shown == letters[paper:paper+1] {
		paper = h.own[0] + h.own[1] - paper
	}
	h.take(paper)
	way := []e2e.Point{h.place(ring, unit)}
	for range h.chance.IntN(4) {
		ring = min(max(ring+h.chance.IntN(5)-2, 1), sharedRings)
		unit = min(max(unit+h.chance.IntN(5)-2, 0), sharedUnits-1)
		way = append(way, h.place(ring, unit))
	}
	h.who.Stroke(way...)
	h.strokes++
}

func (h *hand) place(ring, unit int) e2e.Point {
	xy := h.places[(ring-1)*sharedUnits+unit]
	return e2e.Point{X: xy[0], Y: xy[1]}
}

// take takes a paper in hand by pressing its swatch.
func (h *hand) take(paper int) {
	swatch := fmt.Sprintf("[data-paper=p%d]", paper)
	chosen := fmt.Sprintf("document.querySelector(%q).ariaChecked === 'true'", swatch)
	if e2e.Eval[bool](h.who, chosen) {
		return
	}
	h.who.PressAt(h.who.MiddleOf(swatch))
	h.who.Until("the paper is in hand", chosen)
}

// crowd is people who paint one design over one line.
type crowd struct {
	app   *e2e.App
	id    string
	line  *e2e.Line
	hands []*hand
}

func gather(t testing.TB, people int, seed uint64) *crowd {
	t.Helper()
	app := e2e.Start(t)
	c := &crowd{app: app, id: strings.TrimPrefix(app.KeepFigure(t, sharedFigure()), "/d/"), line: app.Line(t, seed)}
	link, err := app.Store.MakeLink(context.Background(), c.id, store.PowerEdit)
	require.NoError(t, err)
	for i := range people {
		h := sitDown(t, app, c.line.URL+"/e/"+link.Token, i)
		require.Equal(t, shownAs(sharedFigure()), h.shows(), "screens can be read")
		c.hands = append(c.hands, h)
	}
	return c
}

// paint lets everybody paint for a while, and on until enough has happened.
func (c *crowd) paint(t testing.TB, least, most time.Duration, enough func() bool) {
	t.Helper()
	start := time.Now()
	var painting sync.WaitGroup
	for _, h := range c.hands {
		painting.Go(func() {
			for since := time.Since(start); since < most && (since < least || h.strokes == 0 || !enough()) && !t.Failed(); since = time.Since(start) {
				h.stroke()
			}
		})
	}
	painting.Wait()
	require.False(t, t.Failed(), "everybody could paint")
}

// tally is what became of everybody's strokes.
type tally struct{ strokes, lost, doubled, differ int }

// settle waits until all that was painted has come everywhere, and counts.
func (c *crowd) settle(t testing.TB) tally {
	t.Helper()
	ctx := context.Background()
	for _, h := range c.hands {
		h.waits(t, "all steps are sent", "document.querySelector('#pattern').dataset.waiting === '0'")
	}
	d, f, err := c.app.Store.Get(ctx, c.id)
	require.NoError(t, err)
	for _, h := range c.hands {
		h.waits(t, "the page is at the last step", fmt.Sprintf("document.querySelector('#pattern').dataset.rev === '%d'", d.Rev))
	}
	fromLog, err := c.app.Store.At(ctx, c.id, d.Rev)
	require.NoError(t, err)
	assert.Equal(t, string(f.Write()), string(fromLog.Write()), "the log gives the stored figure")
	stored := c.document(t)
	var sum tally
	for i, h := range c.hands {
		if got := h.shows(); got != shownAs(stored) {
			sum.differ++
			t.Errorf("screen %d shows\n%s\nstored is\n%s", i+1, got, shownAs(stored))
		}
	}
	c.count(t, &sum)
	return sum
}

// waits is Until with the patience that a page needs which tries again only after some seconds.
func (h *hand) waits(t testing.TB, what, condition string) {
	t.Helper()
	require.Eventually(t, func() bool { return e2e.Eval[bool](h.who, condition) }, time.Minute, 50*time.Millisecond, what)
}

// document fetches the design's document as anybody would.
func (c *crowd) document(t testing.TB) *figure.Figure {
	t.Helper()
	res, err := http.Get(c.app.URL + "/d/" + c.id + "/document")
	require.NoError(t, err)
	defer func() { _ = res.Body.Close() }()
	data, err := io.ReadAll(res.Body)
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f
}

// count looks up every stroke in the log.
func (c *crowd) count(t testing.TB, sum *tally) {
	t.Helper()
	steps, err := c.app.Store.History(context.Background(), c.id, 0, 1<<20)
	require.NoError(t, err)
	logged := map[string]map[int64]int{}
	for _, step := range steps {
		if logged[step.Client] == nil {
			logged[step.Client] = map[int64]int{}
		}
		logged[step.Client][step.Seq]++
	}
	known := 0
	for i, h := range c.hands {
		assert.Equal(t, h.strokes, h.sent(), "screen %d numbered each stroke once", i+1)
		for seq := range int64(h.strokes) {
			if logged[h.client][seq+1] == 0 {
				sum.lost++
			}
		}
		known += h.strokes
	}
	sum.strokes = known
	sum.doubled = len(steps) - (known - sum.lost) // whatever else is in the log
}

// cutsIn are the connections that were cut; those that were never let through do not count.
func cutsIn(cuts map[e2e.Cut]int) (n int) {
	for way, k := range cuts {
		if way != e2e.CutRefusing {
			n += k
		}
	}
	return n
}

// TestPeoplePaintOverARoughLine is the short form of BenchmarkEightScreens: four screens, some seconds, and on
// until every screen has painted and connections were cut in every way.
func TestPeoplePaintOverARoughLine(t *testing.T) {
	c := gather(t, 4, 1)
	c.line.Rough()
	c.paint(t, 6*time.Second, 2*time.Minute, func() bool { return len(c.line.Cuts()) == len(e2e.EveryCut) })
	c.line.Heal()
	sum := c.settle(t)
	t.Logf("%d strokes, cut: %v", sum.strokes, c.line.Cuts())
	assert.Len(t, c.line.Cuts(), len(e2e.EveryCut), "connections were cut in every way")
	assert.Equal(t, tally{strokes: sum.strokes}, sum, "nothing is lost, doubled or shown otherwise")
}

// BenchmarkEightScreens is the measure of issue 3: eight screens for 60 s over a rough line, beside as many
// over a line that holds.
func BenchmarkEightScreens(b *testing.B) {
	const people, rough, smooth = 8, 60 * time.Second, 20 * time.Second
	never := func() bool { return true }
	calm := gather(b, people, 1)
	calm.paint(b, smooth, smooth, never)
	base := calm.settle(b)
	c := gather(b, people, 2)
	c.line.Rough()
	c.paint(b, rough, rough, never)
	cuts := cutsIn(c.line.Cuts())
	c.line.Heal()
	sum := c.settle(b)
	b.Logf("cut: %v", c.line.Cuts())
	against := fmt.Sprintf("%.0f s over a line that holds", smooth.Seconds())
	for _, f := range []gauge.Figure{
		{Name: "screens", Unit: "screens", Measured: people, Baseline: people, Count: true},
		{Name: "strokes", Unit: "strokes", Measured: float64(sum.strokes), Baseline: float64(base.strokes), Count: true},
		{Name: "connections cut", Unit: "cuts", Measured: float64(cuts), Count: true},
		{Name: "steps lost", Unit: "lost", Measured: float64(sum.lost), Baseline: float64(base.lost)},
		{Name: "steps doubled", Unit: "doubled", Measured: float64(sum.doubled), Baseline: float64(base.doubled)},
		{Name: "screens that differ", Unit: "differ", Measured: float64(sum.differ), Baseline: float64(base.differ)},
	} {
		f.Name, f.Against = fmt.Sprintf("Eight browsers for %.0f s over a rough line: %s", rough.Seconds(), f.Name), against
		gauge.Report(b, f)
	}
}
