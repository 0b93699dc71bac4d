package main

import (
	"bytes"
	"context"
	"encoding/json"
	"html"
	"io"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/store"
	"tuckring/web"
)

// ofFigure is what the app and the command line say of one figure.
type ofFigure struct {
	Findings json.RawMessage `json:"findings"`
}

// Whatever the figure: what `check --json` prints is what the editor is told, what the report carries, and
// what the check page and the report page show, in the same order.
func TestFindingsAreTheSameEverywhere(t *testing.T) {
	kept, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "tuckring.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, kept.Close()) }()
	app := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	alike := 0
	same := func(t require.TestingT, f *figure.Figure) {
		d, err := kept.Create(context.Background(), f)
		require.NoError(t, err)
		page := func(path string) string {
			r := httptest.NewRequest("GET", "/d/"+d.ID+path, nil)
			r.Host, r.RemoteAddr = "127.0.0.1:8080", "127.0.0.1:1234"
			w := httptest.NewRecorder()
			app.ServeHTTP(w, r)
			require.Equal(t, 200, w.Code, path)
			return w.Body.String()
		}
		command := func(args ...string) []byte {
			var out bytes.Buffer
			require.Zero(t, run(bytes.NewReader(f.Write()), &out, io.Discard, append(args, "-", "--json")))
			return out.Bytes()
		}
		printed := command("check")
		var editor, report, reported ofFigure
		require.NoError(t, json.Unmarshal([]byte(page("/findings")), &editor))
		require.NoError(t, json.Unmarshal([]byte(page("/report.json")), &report))
		require.NoError(t, json.Unmarshal(command("report"), &reported))
		assert.JSONEq(t, string(printed), string(editor.Findings))
		assert.JSONEq(t, string(printed), string(report.Findings))
		assert.JSONEq(t, string(printed), string(reported.Findings))

		var list []struct{ What, Rule string }
		require.NoError(t, json.Unmarshal(printed, &list))
		for _, path := range []string{"/check", "/report"} {
			rest := html.UnescapeString(page(path))
			for _, f := range list {
				_, after, found := strings.Cut(rest, f.What)
				require.True(t, found, "%s lacks, or has in another place: %s", path, f.What)
				rest = after
			}
		}
		for _, f := range list {
			if strings.HasPrefix(f.Rule, "alike") {
				alike++
			}
		}
	}
	for _, demo := range shelf.Demo() {
		same(t, demo.Figure)
	}
	rapid.Check(t, func(t *rapid.T) { same(t, painted(t)) })
	assert.Positive(t, alike, "colours that look alike were among them")
}

// painted draws a tube painted at random with colours of which some are hard to tell apart.
func painted(t *rapid.T) *figure.Figure {
	var colours []figure.Colour
	for i := range rapid.IntRange(1, 5).Draw(t, "colours") {
		hex := rapid.SampledFrom([]string{"#3050a0", "#3252a3", "#f4efe6", "#8a8a20", "#a8741e", "#2b2b2e"}).Draw(t, "hex")
		colours = append(colours, figure.Colour{ID: "c" + strconv.Itoa(i), Name: "Colour <" + strconv.Itoa(i) + "> & " + hex, Hex: hex})
	}
	f := figure.Tube("Painted", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, colours,
		rapid.IntRange(3, 12).Draw(t, "units"), rapid.IntRange(1, 6).Draw(t, "rings"))
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8(rapid.IntRange(0, len(colours)-1).Draw(t, "colour"))
		}
	}
	return f
}
