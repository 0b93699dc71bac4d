package main

import (
	"bufio"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/gauge"
)

// released builds the program as `make build` does.
func released(b *testing.B) string {
	path := filepath.Join(b.TempDir(), "tuckring")
	out, err := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", path, ".").CombinedOutput()
	require.NoError(b, err, string(out))
	return path
}

// BenchmarkStart measures from the start of the program with an existing database until the first page has
// come whole (issue 2). The baseline is the same program printing its help.
func BenchmarkStart(b *testing.B) {
	program, db := released(b), filepath.Join(b.TempDir(), "tuckring.db")
	firstPage(b, program, db) // makes the database
	measured, base := gauge.Turns(b, func() { firstPage(b, program, db) }, func() {
		require.NoError(b, exec.Command(program, "--help").Run())
	})
	gauge.Report(b, gauge.Figure{Name: "Start to first page, existing database", Unit: "ms", Measured: gauge.MS(measured), Allowed: 300,
		Baseline: gauge.MS(base), Against: "the program printing its help", Most: 5})
}

var address = regexp.MustCompile(`http://[0-9.:]+/`)

// firstPage starts the app, reads the shelf and ends the app.
func firstPage(b *testing.B, program, db string) {
	app := exec.Command(program, "serve", "--listen", "127.0.0.1:0", "--db", db)
	out, err := app.StdoutPipe()
	require.NoError(b, err)
	require.NoError(b, app.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(b, err)
	page, err := http.Get(address.FindString(line))
	require.NoError(b, err)
	_, err = io.Copy(io.Discard, page.Body)
	require.NoError(b, err)
	require.NoError(b, page.Body.Close())
	require.Equal(b, http.StatusOK, page.StatusCode)
	b.StopTimer()
	require.NoError(b, app.Process.Kill())
	_ = app.Wait() // killed
	b.StartTimer()
}

// BenchmarkProgramSize weighs the program (issue 2).
func BenchmarkProgramSize(b *testing.B) {
	file, err := os.Stat(released(b))
	require.NoError(b, err)
	gauge.Report(b, gauge.Figure{Name: "Program", Unit: "MB", Measured: float64(file.Size()) / 1e6, Allowed: 45,
		Baseline: bareServerMB(b), Against: "a program of a web server and SQLite alone", Most: 5})
}

// bareServerMB is the size of a program that serves and stores, and does nothing else.
func bareServerMB(b *testing.B) float64 {
	const source = `package main

import (
	"database/sql"
	"net/http"

	_ "github.com/mattn/go-sqlite3"
)

func main() {
	db, err := sql.Open("sqlite3", ":memory:")
	if err != nil {
		panic(err)
	}
	panic(http.ListenAndServe("127.0.0.1:0", http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = db.ExecContext(r.Context(), "SELECT 1")
	})))
}
`
	dir := b.TempDir()
	path := filepath.Join(dir, "main.go")
	require.NoError(b, os.WriteFile(path, []byte(source), 0o600))
	out, err := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", filepath.Join(dir, "bare"), path).CombinedOutput()
	require.NoError(b, err, string(out))
	file, err := os.Stat(filepath.Join(dir, "bare"))
	require.NoError(b, err)
	return float64(file.Size()) / 1e6
}
