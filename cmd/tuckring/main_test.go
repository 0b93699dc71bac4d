package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/shelf"
	"tuckring/internal/store"
)

// binary is the program as users run it, built once for all tests.
var binary string

func TestMain(m *testing.M) {
	os.Exit(build(m))
}

func build(m *testing.M) int {
	dir, err := os.MkdirTemp("", "tuckring")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	binary = filepath.Join(dir, "tuckring")
	build := exec.Command("go", "build", "-o", binary, ".")
	build.Env = append(os.Environ(), "CGO_CFLAGS=") // as everywhere but under the race detector
	if out, err := build.CombinedOutput(); err != nil {
		panic(string(out))
	}
	return m.Run()
}

// tuckring runs the program and gives what it printed and its exit code.
func tuckring(t testing.TB, stdin string, args ...string) (out, errs string, code int) {
	t.Helper()
	cmd := exec.Command(binary, args...)
	var o, e bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(stdin), &o, &e
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return o.String(), e.String(), cmd.ProcessState.ExitCode()
}

// sixtyEight is the published figure of 68 units (The Star, Malaysia, 14 March 2012).
const (
	sixtyEight = "testdata/sixty-eight.tuckring.json"
	example    = "testdata/contract-example.tuckring.json"
)

func TestHelpOfTheProgramAndOfEachCommand(t *testing.T) {
	for _, ask := range []string{"help", "--help", "-h"} {
		out, errs, code := tuckring(t, "", ask)
		assert.Equal(t, 0, code)
		assert.Empty(t, errs)
		assert.Contains(t, out, "tuckring COMMAND")
	}
	for _, c := range commands {
		for _, args := range [][]string{{c.name, "--help"}, {"help", c.name}} {
			out, errs, code := tuckring(t, "", args...)
			assert.Equal(t, 0, code, args)
			assert.Empty(t, errs, args)
			assert.Contains(t, out, "usage: tuckring "+c.name, args)
			assert.NotContains(t, out, "[cli.", args)
		}
	}
}

func TestWrongUsageIsExitCodeTwo(t *testing.T) {
	for _, c := range []struct {
		args []string
		says string
	}{
		{nil, "Name a command"},
		{[]string{"fold"}, `no command "fold"`},
		{[]string{"help", "fold"}, `no command "fold"`},
		{[]string{"rows"}, "FIGURE is missing"},
		{[]string{"rows", sixtyEight, "again"}, `"again" is one argument too many`},
		{[]string{"rows", "--colour", sixtyEight}, "-colour"},
		{[]string{"check", sixtyEight, "--jsn"}, "-jsn"},
		{[]string{"rows", "--", "--json", "x"}, `"x" is one argument too many`},
		{[]string{"report", sixtyEight, "--sheet", "A44"}, "--sheet"},
		{[]string{"report", sixtyEight, "--spare", "five"}, "from 0 to 100"},
		{[]string{"report", sixtyEight, "--spare", "-5"}, "from 0 to 100"},
		{[]string{"report", sixtyEight, "--people", "0"}, "from 1 to 200"},
		{[]string{"report", sixtyEight, "--people", "2.5"}, "whole number"},
		{[]string{"cut", "--sheet", "A4", "--unit", "52x37", "--margin", "a"}, "--margin"},
		{[]string{"cut", "--sheet", "A4", "--unit", "52x37", "--margin", "200"}, "--margin"},
		{[]string{"cut", "--sheet", "A4", "--unit", "52x37", "--kerf", "-1"}, "--kerf"},
		{[]string{"cut", "--sheet", "A4", "--unit", "0x37"}, "--unit"},
		{[]string{"cut", "--unit", "52x37"}, "--sheet is missing"},
		{[]string{"cut", "--sheet", "A4"}, "--unit is missing"},
		{[]string{"cut", "--sheet", "A4", "--unit", "52"}, "--unit"},
		{[]string{"cut", "--sheet", "A4", "--unit", "52,5x37"}, "--unit"},
		{[]string{"draw", sixtyEight}, "--out is missing"},
		{[]string{"draw", sixtyEight, "--out", "x.gif"}, ".svg, .png or .pdf"},
		{[]string{"draw", sixtyEight, "--out", "x.svg", "--what", "song"}, "pattern, figure, cards, handout"},
		{[]string{"publish", sixtyEight}, "--out is missing"},
		{[]string{"publish", "--out", "x"}, "FIGURE is missing"},
		{[]string{"publish", sixtyEight, "--out", "x", "--sheet", "A44"}, "--sheet"},
		{[]string{"backup", "--db", "x.db"}, "--out is missing"},
		{[]string{"restore", "--db", "x.db"}, "--from is missing"},
		{[]string{"cut", "A4", "--unit", "52x37"}, `"A4" is one argument too many`},
	} {
		out, errs, code := tuckring(t, "", c.args...)
		assert.Equal(t, 2, code, c.args)
		assert.Empty(t, out, c.args)
		assert.Contains(t, errs, c.says, c.args)
		assert.Contains(t, errs, "usage: tuckring", c.args)
	}
}

func TestUnreadableFileNamesItself(t *testing.T) {
	for _, command := range []string{"check", "report", "rows"} {
		_, errs, code := tuckring(t, "", command, "no/such.json")
		assert.Equal(t, 1, code)
		assert.Contains(t, errs, `"no/such.json"`)
		assert.Contains(t, errs, "no such file")
	}
}

func TestRowsReadsAFileOrStandardInput(t *testing.T) {
	fromFile, errs, code := tuckring(t, "", "rows", sixtyEight)
	require.Equal(t, 0, code, errs)
	document, err := os.ReadFile(sixtyEight)
	require.NoError(t, err)
	fromInput, _, code := tuckring(t, string(document), "rows", "-")
	assert.Equal(t, 0, code)
	assert.Equal(t, fromFile, fromInput)
	assert.Contains(t, fromFile, "Ring 6: 8 units.")
	assert.Contains(t, fromFile, "68 of 68 units built.")
}

func TestRefusedDocumentListsEveryFault(t *testing.T) {
	document, err := os.ReadFile(example)
	require.NoError(t, err)
	broken := strings.Replace(string(document), `"takes": 4`, `"takes": 3`, 1)
	broken = strings.Replace(broken, `"ring": 3, "at": 8.5}`, `"ring": 9, "at": 8.5}`, 1)
	_, errs, code := tuckring(t, broken, "rows", "-")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "rings[3]")
	assert.Contains(t, errs, "extras[0].ring")
}

func TestCheckSaysFaultsInWordsAndJSON(t *testing.T) {
	document, err := os.ReadFile(example)
	require.NoError(t, err)
	broken := strings.Replace(string(document), `"takes": 4`, `"takes": 3`, 1)
	out, errs, code := tuckring(t, broken, "check", "-")
	assert.Equal(t, 1, code)
	assert.Contains(t, out, "fault: rings[3]")
	assert.NotEmpty(t, errs)
	out, _, code = tuckring(t, broken, "check", "-", "--json")
	assert.Equal(t, 1, code)
	var list []map[string]any
	require.NoError(t, json.Unmarshal([]byte(out), &list))
	require.Len(t, list, 1)
	assert.Equal(t, "fault", list[0]["level"])
	assert.EqualValues(t, 4, list[0]["ring"])
	for _, field := range []string{"where", "what", "fix"} {
		assert.NotEmpty(t, list[0][field], field)
	}
}

func TestCheckOfASoundFigureSucceeds(t *testing.T) {
	out, errs, code := tuckring(t, "", "check", "--json", sixtyEight)
	assert.Equal(t, 0, code, errs)
	assert.True(t, json.Valid([]byte(out)))
	assert.NotContains(t, out, `"fault"`)
}

func TestFullDiskIsNoSuccess(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	require.NoError(t, err)
	defer full.Close()
	cmd := exec.Command(binary, "rows", sixtyEight)
	cmd.Stdout = full
	assert.Error(t, cmd.Run())
	assert.Equal(t, 1, cmd.ProcessState.ExitCode())
}

// The Star (Malaysia), 14 March 2012: 68 units; 64 strips to a sheet of A4; 1½ hours in all.
func TestReportOfThePublishedFigure(t *testing.T) {
	out, errs, code := tuckring(t, "", "report", "--json", sixtyEight)
	require.Equal(t, 0, code, errs)
	var r struct {
		Units struct{ Total int }
		Paper struct {
			PerSheet int `json:"per_sheet"`
			Sheets   int
		}
		Time struct {
			Total float64 `json:"total_min"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	assert.Equal(t, []int{68, 64, 2}, []int{r.Units.Total, r.Paper.PerSheet, r.Paper.Sheets})
	assert.True(t, r.Time.Total > 60 && r.Time.Total < 120, r.Time.Total)
	out, _, code = tuckring(t, "", "report", sixtyEight, "--sheet", "Letter", "--people", "4", "--spare", "0")
	assert.Equal(t, 0, code)
	assert.Contains(t, out, "Letter")
	assert.Contains(t, out, "4 people")
	assert.NotContains(t, out, "[")
}

func TestReportWithoutARoomyEnoughSheetFails(t *testing.T) {
	_, errs, code := tuckring(t, "", "report", example, "--sheet", "30x30")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "30 × 30")
}

// ISO 216: A9 is an A4 cut into 32. A plain grid of 80 × 30 gives 21 on an A4, the best layout 23.
func TestCutGivesTheBestLayout(t *testing.T) {
	for _, c := range []struct {
		unit string
		want float64
	}{{"52x37", 32}, {"80x30", 23}, {"37x52", 32}, {"52x18.5", 64}} {
		out, errs, code := tuckring(t, "", "cut", "--sheet", "A4", "--unit", c.unit, "--json")
		require.Equal(t, 0, code, errs)
		var got map[string]any
		require.NoError(t, json.Unmarshal([]byte(out), &got))
		assert.Equal(t, c.want, got["per_sheet"], c.unit)
		assert.Len(t, got["pieces"], int(c.want))
		assert.Contains(t, got["pieces"].([]any)[0], "x")
		assert.Contains(t, got["steps"].([]any)[0], "stop_mm")
	}
	out, _, code := tuckring(t, "", "cut", "--sheet", "210x297", "--unit", "80x30")
	assert.Equal(t, 0, code)
	assert.Contains(t, out, "23 units")
	assert.Contains(t, out, "bound 23")
	assert.Contains(t, out, "Caution: ")
}

// By hand: 1000 × 700 is 125 × 140 of 8 × 5. Nobody waits for a sheet that holds too many to weigh every way of cutting.
func TestCutAndReportTakeLargeSheetsOfSmallUnits(t *testing.T) {
	for unit, exact := range map[string]bool{"8x5": true, "8.01x5.01": false} {
		out, errs, code := tuckring(t, "", "cut", "--sheet", "1000x700", "--unit", unit, "--json")
		require.Equal(t, 0, code, errs)
		var got struct {
			PerSheet int `json:"per_sheet"`
			Bound    int
			Exact    bool
			Pieces   []any
		}
		require.NoError(t, json.Unmarshal([]byte(out), &got))
		assert.Equal(t, exact, got.Exact)
		assert.GreaterOrEqual(t, got.PerSheet, 124*139)
		assert.LessOrEqual(t, got.PerSheet, got.Bound)
		assert.LessOrEqual(t, got.Bound, 17_500)
		assert.Len(t, got.Pieces, got.PerSheet)
	}
	small := `{"tuckring":1,"title":"Small","unit":{"long_mm":8.01,"short_mm":5.01,"fold":"doubled"},
		"colours":[{"id":"a","name":"A","hex":"#a63a2b"}],"rings":[{"runs":[{"n":300,"colour":"a"}]}]}`
	out, errs, code := tuckring(t, small, "report", "-", "--sheet", "1000x700")
	assert.Equal(t, 0, code, errs)
	assert.Contains(t, out, "300 units")
}

func TestCutOfTooManyOrNonsenseIsRefused(t *testing.T) {
	for unit, says := range map[string]string{
		"1x1": "at most 100000", "0.1x0.1": "It can be 1 to 2000 mm", "1e308x5": "is not a size", "NaNx5": "is not a size",
		strings.Repeat("9", 400) + "x5": "is not a size", "0x5": "It can be 1 to 2000 mm",
	} {
		_, errs, code := tuckring(t, "", "cut", "--sheet", "3000x3000", "--unit", unit)
		assert.NotZero(t, code, unit)
		assert.Contains(t, errs, says, unit)
		assert.Less(t, len(errs), 600, "what was typed is clipped")
	}
}

func TestCutOfWhatDoesNotFitFails(t *testing.T) {
	out, errs, code := tuckring(t, "", "cut", "--sheet", "A10", "--unit", "52x37")
	assert.Equal(t, 1, code)
	assert.Empty(t, out)
	assert.Contains(t, errs, "does not fit on the sheet: 26 × 37 mm")
}

func TestBackupAndBack(t *testing.T) {
	dir := t.TempDir()
	db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
	_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	assert.Equal(t, 1, code, "there is no database yet")
	assert.Contains(t, errs, "shelf.db")
	st, err := store.Open(t.Context(), db)
	require.NoError(t, err)
	out, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	require.Equal(t, 0, code, errs)
	assert.Contains(t, out, copied)
	_, errs, code = tuckring(t, "", "restore", "--from", copied, "--db", db)
	assert.Equal(t, 1, code, "the database is in use")
	assert.NotEmpty(t, errs)
	require.NoError(t, st.Close())
	out, errs, code = tuckring(t, "", "restore", "--from", copied, "--db", db)
	require.Equal(t, 0, code, errs)
	assert.Contains(t, out, "kept as")
}

// Published signatures: PNG (RFC 2083) and PDF (ISO 32000) files begin with them.
func TestDrawWritesWhatTheNameSays(t *testing.T) {
	for _, what := range []string{"pattern", "figure", "cards", "handout"} {
		for ending, begin := range map[string]string{"svg": "<svg", "png": "\x89PNG\r\n", "pdf": "%PDF-"} {
			file := filepath.Join(t.TempDir(), "figure."+ending)
			_, errs, code := tuckring(t, "", "draw", sixtyEight, "--what", what, "--out", file)
			require.Equal(t, 0, code, errs)
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Contains(t, string(data[:min(len(data), 200)]), begin, file)
		}
	}
	_, errs, code := tuckring(t, "", "draw", sixtyEight, "--out", "no/such/folder/x.svg")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "no such file or directory")
}

// The demo figures must be sound, and the commands work on each of them.
func TestCommandsOnTheDemoShelf(t *testing.T) {
	for _, demo := range shelf.Demo() {
		for _, command := range []string{"check", "report", "rows"} {
			out, errs, code := tuckring(t, string(demo.Document), command, "-")
			assert.Equal(t, 0, code, "%s %s: %s", command, demo.Name, errs)
			assert.NotEmpty(t, out)
			assert.NotContains(t, out, "[cli.")
			assert.NotContains(t, out, "<no value>")
		}
	}
}
