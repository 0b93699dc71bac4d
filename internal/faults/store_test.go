package faults

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
)

// clocks lets the machine's clock jump between steps, forward and back, by moments and by lives, and stand still. Steps
// keep their order, links work as long as they should, and the database opens under any clock.
func clocks(t *testing.T) *row {
	r := &row{what: "clock put forward, back, and standing still"}
	path := filepath.Join(t.TempDir(), "tuckring.db")
	s, err := store.Open(t.Context(), path)
	require.NoError(t, err)
	now := time.Date(2026, 11, 26, 12, 0, 0, 0, time.UTC)
	s.SetClock(func() time.Time { return now })
	d, err := s.Create(t.Context(), tower())
	require.NoError(t, err)
	chance := rand.New(rand.NewPCG(13, 17))
	jumps := []time.Duration{0, time.Millisecond, time.Second, time.Hour, 24 * time.Hour, 366 * 24 * time.Hour, 60 * 366 * 24 * time.Hour}
	working, off := map[string]bool{}, map[string]bool{}
	for seq := int64(1); seq <= int64(rounds(400)); seq++ {
		by := jumps[chance.IntN(len(jumps))]
		if chance.IntN(2) == 0 {
			by = -by
		}
		if now = now.Add(by); now.Year() < 1971 || now.Year() > 2200 {
			now = time.Date(2026, 11, 26, 12, 0, 0, 0, time.UTC)
		}
		r.injected++
		if err := paint(s, d.ID, seq); err != nil {
			r.find("step %d: %v", seq, err)
			break
		}
		r.steps++
		link, err := s.MakeLink(t.Context(), d.ID, store.PowerEdit)
		require.NoError(t, err)
		if working[link.Token] = true; seq%3 == 0 {
			require.NoError(t, s.RevokeLink(t.Context(), d.ID, link.Token))
			delete(working, link.Token)
			off[link.Token] = true
		}
		if seq%40 == 0 { // its owner takes it up again, at another time
			require.NoError(t, s.Close())
			if s, err = store.Open(t.Context(), path); err != nil {
				r.find("it does not open: %v", err)
				return r
			}
			s.SetClock(func() time.Time { return now })
		}
	}
	history, err := s.History(t.Context(), d.ID, r.steps+1, int(r.steps))
	require.NoError(t, err)
	if !slices.IsSortedFunc(history, func(a, b store.Step) int { return int(b.Rev - a.Rev) }) || int64(len(history)) != r.steps {
		r.find("the history has %d of %d steps, or in another order", len(history), r.steps)
	}
	for token := range working {
		if _, err := s.Resolve(t.Context(), token); err != nil {
			r.find("a link does not work: %v", err)
		}
	}
	for token := range off {
		if _, err := s.Resolve(t.Context(), token); err == nil {
			r.find("a link works that was turned off")
		}
	}
	require.NoError(t, s.Close())
	r.compare(path, d.ID, r.steps, true)
	return r
}

// restores puts backups in the place of a database, many within one second: each is kept under a name of its own.
func restores(t *testing.T) *row {
	r := &row{what: "restored many times within a second"}
	dir := t.TempDir()
	path, id := fresh(t, dir, 20)
	copied := filepath.Join(dir, "copy.db")
	_, err := store.Backup(t.Context(), path, copied)
	require.NoError(t, err)
	for range rounds(40) {
		r.injected++
		if _, err := store.Restore(t.Context(), copied, path, false); err != nil {
			r.find("refused: %v", err)
		}
	}
	kept, err := filepath.Glob(path + ".before-*")
	require.NoError(t, err)
	if len(kept) != r.injected {
		r.find("%d of %d databases are kept", len(kept), r.injected)
	}
	for _, file := range kept {
		r.compare(file, id, 20, true)
	}
	r.compare(path, id, 20, true)
	return r
}

// overLive takes a running program's database for the place of a backup, and a backup whose log has a gap for one to restore.
func overLive(t *testing.T) *row {
	r := &row{what: "backup over a database in use, restore of a gap"}
	dir := t.TempDir()
	path, id := fresh(t, dir, 20)
	other, _ := fresh(t, t.TempDir(), 3)
	gap := filepath.Join(dir, "gap.db")
	_, err := store.Backup(t.Context(), path, gap)
	require.NoError(t, err)
	sqlite(t, gap, `DELETE FROM steps WHERE rev = 7`)
	s, err := store.Open(t.Context(), path)
	require.NoError(t, err)
	linked := filepath.Join(dir, "by-another-name.db")
	require.NoError(t, os.Symlink(path, linked))
	for seq := int64(21); seq <= int64(20+rounds(20)); seq++ {
		require.NoError(t, paint(s, id, seq))
		r.steps++
		for _, place := range []string{path, linked} {
			r.injected++
			if _, err := store.Backup(t.Context(), other, place); err != nil {
				r.judge(err, false)
			} else {
				r.find("a backup was written over the database in use")
			}
		}
		r.injected++
		if _, err := store.Restore(t.Context(), gap, filepath.Join(dir, "new.db"), false); err != nil {
			r.judge(err, false)
		} else {
			r.find("a log with a gap was restored without a word")
		}
	}
	require.NoError(t, s.Close())
	r.compare(path, id, 20+r.steps, true)
	return r
}

// journals leaves a rollback journal beside the database, as another program leaves one that was killed in a
// transaction: whole, damaged, cut off, or of no sense at all. Whole, it is rolled back; none may pass for steps.
func journals(t *testing.T) *row {
	r := &row{what: "rollback journal damaged or cut off"}
	dir := t.TempDir()
	path, id := fresh(t, dir, 300)
	killed := exec.Command(program(t), "-test.run=^$")
	killed.Env = append(os.Environ(), "TUCKRING_FAULTS_JOURNAL="+path)
	out, err := killed.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, killed.Start())
	var ready string
	_, err = fmt.Fscan(out, &ready)
	require.NoError(t, err, "it is in the midst of a transaction")
	require.NoError(t, killed.Process.Kill())
	_ = killed.Wait() // it was killed
	base, err := os.ReadFile(path)
	require.NoError(t, err)
	journal, err := os.ReadFile(path + "-journal")
	require.NoError(t, err)
	require.Greater(t, len(journal), 4096)
	chance := rand.New(rand.NewPCG(23, 29))
	for round := range rounds(120) {
		data := slices.Clone(journal)
		switch {
		case round == 0: // whole
		case round%3 == 0:
			data = data[:chance.IntN(len(data))]
		case round%3 == 1:
			data[chance.IntN(len(data))] ^= byte(1 + chance.IntN(255))
		default:
			for i := range data {
				data[i] = byte(chance.IntN(256))
			}
		}
		at := filepath.Join(t.TempDir(), "tuckring.db")
		require.NoError(t, os.WriteFile(at, base, 0o600))
		require.NoError(t, os.WriteFile(at+"-journal", data, 0o600))
		r.injected++
		r.compare(at, id, 300, round == 0)
	}
	return r
}
