// Package faults damages what the store stands on, really and many times over, and looks for what is lost: `make
// faults`. Each kind of fault has a row in the table that it prints; the run fails when anything was found. Before
// anything else the comparison itself is tried on a log from which an acknowledged step was taken.
package faults

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/faultdisk"
	"tuckring/internal/figure"
	"tuckring/internal/store"
)

const units, rings = 12, 3

func tower() *figure.Figure {
	return figure.Tube("Lighthouse tower", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b"}, {ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}}, units, rings)
}

// stroke is the step of a number: it paints one unit another colour than it has.
func stroke(seq int64) figure.Edit {
	return &figure.Paint{Runs: []figure.PaintRun{{Ring: figure.RingID(seq/units%rings + 1), At: int(seq % units), N: 1, Colour: []string{"chalk", "soot", "brick"}[seq/(units*rings)%3]}}}
}

// after is the figure after so many strokes, without the store.
func after(steps int64) *figure.Figure {
	f := tower()
	for seq := int64(1); seq <= steps; seq++ {
		f.Rings[seq/units%rings].Cells[seq%units].Colour = []uint8{1, 2, 0}[seq/(units*rings)%3]
	}
	return f
}

func paint(s *store.Store, id string, seq int64) error {
	answers, err := s.Apply(context.Background(), id, store.Person{ID: "mira"}, "page", []store.Ask{{Seq: seq, Kind: store.KindEdit, Edit: stroke(seq)}})
	if err == nil && answers[0].Rev != seq {
		err = fmt.Errorf("step %d was answered with revision %d: %v", seq, answers[0].Rev, answers[0].Faults)
	}
	return err
}

// TestMain lets the test binary stand in for the program that is killed.
func TestMain(m *testing.M) {
	err := error(nil)
	switch path, journal := os.Getenv("TUCKRING_FAULTS_PAINTER"), os.Getenv("TUCKRING_FAULTS_JOURNAL"); {
	case path != "":
		err = paintOn(path)
	case journal != "":
		err = holdJournal(journal)
	default:
		os.Exit(m.Run())
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func paintOn(path string) error {
	s, err := store.Open(context.Background(), path)
	if err != nil {
		return err
	}
	list, err := s.List(context.Background(), false)
	if err != nil {
		return err
	}
	for seq := list[0].Rev + 1; ; seq++ {
		if err := paint(s, list[0].ID, seq); err != nil {
			return err
		}
		if _, err := fmt.Println(seq); err != nil {
			return err
		}
	}
}

// row is a line of the table.
type row struct {
	what     string
	injected int
	steps    int64       // acknowledged meanwhile
	refused  int         // times that it was told in plain words
	answers  map[int]int // how often each status was answered, where requests were sent
	found    []string
}

func (r *row) find(format string, args ...any) {
	r.found = append(r.found, fmt.Sprintf(format, args...))
}

// compare looks at a database in which the steps up to acknowledged were answered; exact says that at most one more may be there.
// It closes the store again.
func (r *row) compare(path, id string, acknowledged int64, exact bool) {
	s, err := store.Open(context.Background(), path)
	if err != nil {
		r.judge(err, exact)
		return
	}
	defer func() {
		if err := s.Close(); err != nil && exact {
			r.find("close: %v", err)
		}
	}()
	d, f, err := s.Get(context.Background(), id)
	switch {
	case err != nil:
		r.judge(err, exact)
	case exact && d.Rev < acknowledged:
		r.find("%d acknowledged steps lost", acknowledged-d.Rev)
	case d.Rev > acknowledged+1:
		r.find("%d steps that nobody made", d.Rev-acknowledged)
	case string(after(d.Rev).Write()) != string(f.Write()):
		r.find("wrong bytes at revision %d", d.Rev)
	}
}

// judge holds an error to being one that a person can read.
func (r *row) judge(err error, unexpected bool) {
	var told *store.Error
	if !errors.As(err, &told) || told.What.String() == "" || told.Fix.String() == "" {
		r.find("unclear message: %v", err)
		return
	}
	r.refused++
	if unexpected {
		r.find("refused though nothing is damaged: %v", err)
	}
}

func fresh(t *testing.T, dir string, steps int64) (path, id string) {
	t.Helper()
	path = filepath.Join(dir, "tuckring.db")
	s, err := store.Open(t.Context(), path)
	require.NoError(t, err)
	d, err := s.Create(t.Context(), tower())
	require.NoError(t, err)
	for seq := int64(1); seq <= steps; seq++ {
		require.NoError(t, paint(s, d.ID, seq))
	}
	require.NoError(t, s.Close())
	return path, d.ID
}

// all says that everything is to be injected, as many times as make faults promises. go test alone tries each kind a
// few times, but for the kills.
func all() bool { return os.Getenv("TUCKRING_FAULTS") != "" }

func rounds(many int) int {
	if all() {
		return many
	}
	return max(2, many/40)
}

// kills ends the program with SIGKILL at any point of its work.
func kills(t *testing.T) *row {
	r := &row{what: "kill -9 during work"}
	path, id := fresh(t, t.TempDir(), 0)
	program := program(t)
	for round := range 200 {
		child := exec.Command(program, "-test.run=^$")
		child.Env = append(os.Environ(), "TUCKRING_FAULTS_PAINTER="+path)
		out, err := child.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, child.Start())
		answered := int64(0)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			if answered == 0 {
				time.AfterFunc(time.Duration(round*37%2000)*10*time.Microsecond, func() { _ = child.Process.Kill() })
			}
			n, err := strconv.ParseInt(lines.Text(), 10, 64)
			require.NoError(t, err)
			answered, r.steps = n, r.steps+1
		}
		_ = child.Wait() // it was killed
		r.injected++
		r.compare(path, id, answered, true)
		if said := integrity(t, path); said != "ok" {
			r.find("integrity_check: %s", said)
		}
	}
	return r
}

// flips damages bytes of the closed database, or cuts it off. SQLite keeps no checksums of its pages, so a letter
// that becomes another letter cannot be noticed; everything else must be, or do no harm.
func flips(t *testing.T, cut bool) *row {
	r := &row{what: "bytes of the database flipped"}
	if cut {
		r.what = "database cut off"
	}
	path, id := fresh(t, t.TempDir(), 300)
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	chance := rand.New(rand.NewPCG(7, 11))
	for range rounds(120) {
		data := append([]byte(nil), sound...)
		if cut {
			data = data[:1+chance.IntN(len(data)-1)]
		} else {
			page := chance.IntN(len(data)/4096) * 4096
			for range 8 { // the head of a page: what holds the file together
				data[page+chance.IntN(64)] ^= byte(1 + chance.IntN(255))
			}
		}
		at := filepath.Join(t.TempDir(), "tuckring.db")
		require.NoError(t, os.WriteFile(at, data, 0o600))
		r.injected++
		r.compare(at, id, 300, false)
	}
	return r
}

// wal damages the write-ahead log as a crash leaves it, or cuts it off: its frames have checksums, so what stands
// before the damage must come back, and nothing else.
func wal(t *testing.T) *row {
	r := &row{what: "write-ahead log flipped or cut off"}
	path, id := fresh(t, t.TempDir(), 0)
	s, err := store.Open(t.Context(), path)
	require.NoError(t, err)
	for seq := int64(1); seq <= 150; seq++ {
		require.NoError(t, paint(s, id, seq))
	}
	base, err := exec.Command("cat", path).Output() // by another process: closing the file here would drop SQLite's locks
	require.NoError(t, err)
	log, err := exec.Command("cat", path+"-wal").Output()
	require.NoError(t, err)
	require.NotEmpty(t, log)
	require.NoError(t, s.Close())
	chance := rand.New(rand.NewPCG(3, 5))
	for round := range rounds(120) {
		data := append([]byte(nil), log...)
		if round%2 == 0 {
			data = data[:chance.IntN(len(data))]
		} else {
			data[chance.IntN(len(data))] ^= byte(1 + chance.IntN(255))
		}
		at := filepath.Join(t.TempDir(), "tuckring.db")
		require.NoError(t, os.WriteFile(at, base, 0o600))
		require.NoError(t, os.WriteFile(at+"-wal", data, 0o600))
		r.injected++
		r.compare(at, id, 150, false)
	}
	return r
}

// full fills the disk in the middle of the work, and makes room again.
func full(t *testing.T) *row {
	r := &row{what: "full disk"}
	disk, ok := faultdisk.Small(t, 1<<20)
	if !ok {
		r.what += " (not injected: this process may not mount)"
		return r
	}
	path, id := fresh(t, disk.Dir, 0)
	for seq := int64(1); r.injected < rounds(20); {
		s, err := store.Open(t.Context(), path)
		require.NoError(t, err)
		disk.Fill()
		r.injected++
		for err = nil; err == nil; {
			if err = paint(s, id, seq); err == nil {
				seq, r.steps = seq+1, r.steps+1
			}
		}
		r.judge(err, false)
		disk.Free()
		if err := paint(s, id, seq); err != nil {
			r.find("does not go on when there is room: %v", err)
		} else {
			seq, r.steps = seq+1, r.steps+1
		}
		require.NoError(t, s.Close())
		r.compare(path, id, seq-1, true)
	}
	return r
}

// readOnly takes the right to write away.
func readOnly(t *testing.T) *row {
	r := &row{what: "read-only folder"}
	dir := t.TempDir()
	path, id := fresh(t, dir, 20)
	for range rounds(10) {
		again := faultdisk.ReadOnly(t, dir)
		r.injected++
		if s, err := store.Open(t.Context(), path); err != nil {
			r.judge(err, false)
		} else {
			r.find("opened as if it could be written")
			_ = s.Close()
		}
		again()
		r.compare(path, id, 20, true)
	}
	return r
}

func TestFaults(t *testing.T) {
	control := &row{what: "control: a step is taken from the log"}
	path, id := fresh(t, t.TempDir(), 40)
	control.compare(path, id, 41, true)
	require.NotEmpty(t, control.found, "the comparison finds a lost step")
	control = &row{}
	control.judge(errors.New("disk I/O error"), false)
	require.NotEmpty(t, control.found, "the comparison finds an unclear message")

	control = &row{}
	wordless := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		status, err := strconv.Atoi(r.URL.Path[1:])
		assert.NoError(t, err)
		w.WriteHeader(status)
	}))
	defer wordless.Close()
	for _, status := range []string{"404", "429", "500"} {
		control.inject("GET", wordless.URL+"/"+status, "", "")
	}
	require.Len(t, control.found, 3, "a mistake of ours and refusals without words are found")

	rows := []*row{kills(t), flips(t, false), flips(t, true), wal(t), journals(t), full(t), readOnly(t), clocks(t), restores(t), overLive(t),
		cuts(t), watchers(t), ended(t), slow(t), hands(t), heavy(t), passedOn(t), answersRight(t)}
	if rows = append(rows, harms(t)...); all() {
		rows = append(rows, endless(t), costly(t))
	}
	out := tabwriter.NewWriter(os.Stdout, 0, 0, 2, ' ', 0)
	_, _ = fmt.Fprintln(out, "fault\tinjected\tsteps acknowledged\ttold in plain words\tanswered\tfound")
	injected, refused, found := 0, 0, 0
	for _, r := range rows {
		if r.injected == 0 && !strings.Contains(r.what, "not injected") {
			r.find("nothing was injected")
		}
		_, _ = fmt.Fprintf(out, "%s\t%d\t%d\t%d\t%s\t%d\n", r.what, r.injected, r.steps, r.refused, r.answered(), len(r.found))
		for _, what := range r.found {
			t.Errorf("%s: %s", r.what, what)
		}
		injected, refused, found = injected+r.injected, refused+r.refused, found+len(r.found)
	}
	_, _ = fmt.Fprintf(out, "total\t%d\t\t%d\t\t%d\n", injected, refused, found)
	require.NoError(t, out.Flush())
}
