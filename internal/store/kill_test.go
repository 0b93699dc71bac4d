package store

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// TestMain lets the test binary stand in for the app that is going to be killed.
func TestMain(m *testing.M) {
	if path := os.Getenv("TUCKRING_TEST_PAINTER"); path != "" {
		if err := paintUntilKilled(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	if path := os.Getenv("TUCKRING_TEST_LOCKS"); path != "" {
		os.Exit(seeLocks(path))
	}
	os.Exit(m.Run())
}

func testBinary(t testing.TB) string {
	self, err := os.Executable()
	require.NoError(t, err)
	return self
}

// paintUntilKilled paints the first design on the shelf and prints each step's number as soon as it is
// answered.
func paintUntilKilled(path string) error {
	s, err := Open(ctx, path)
	if err != nil {
		return err
	}
	list, err := s.List(ctx, false)
	if err != nil {
		return err
	}
	first := list[0].Rev + 1
	for seq := first; ; seq++ {
		answers, err := s.Apply(ctx, list[0].ID, Person{ID: "mira"}, "page", []Ask{{Seq: seq, Kind: KindEdit, Edit: stroke(seq)}})
		if err != nil {
			return err
		}
		if _, err := fmt.Println(answers[0].Rev); err != nil {
			return err
		}
	}
}

func TestAnsweredStepsSurviveTheKillOfTheProcess(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	id := create(t, s, tube(t, 12, 3))
	require.NoError(t, s.Close())
	for round := range 4 {
		child := exec.Command(testBinary(t), "-test.run=^$")
		child.Env = append(os.Environ(), "TUCKRING_TEST_PAINTER="+path)
		child.Stderr = os.Stderr
		out, err := child.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, child.Start())
		answered := int64(0)
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if answered == 0 {
				kill := time.AfterFunc(time.Duration(50+70*round)*time.Millisecond, func() { _ = child.Process.Kill() }) // SIGKILL, at any point of a step
				defer kill.Stop()
			}
			answered, err = strconv.ParseInt(lines.Text(), 10, 64)
			require.NoError(t, err)
		}
		require.Error(t, child.Wait(), "killed")
		require.Positive(t, answered)

		s := openAt(t, path)
		d, f, err := s.Get(ctx, id)
		require.NoError(t, err)
		assert.Contains(t, []int64{answered, answered + 1}, d.Rev, "every answered step is there, and at most the one under way")
		want := tube(t, 12, 3)
		for seq := int64(1); seq <= d.Rev; seq++ {
			want.Rings[seq/12%3].Cells[seq%12].Colour = []uint8{1, 2, 0}[seq/36%3]
		}
		assert.Equal(t, string(want.Write()), string(f.Write()))
		require.NoError(t, s.Close())
		require.NoError(t, checkWhole(ctx, path))
	}
}

// stroke is the step of a number: it paints one unit.
func stroke(seq int64) figure.Edit {
	return paint(figure.RingID(seq/12%3+1), int(seq%12), 1, []string{"chalk", "soot", "brick"}[seq/36%3])
}
