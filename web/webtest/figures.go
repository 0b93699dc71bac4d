package webtest

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
)

// KeepTube keeps a straight tube of 8 units a ring, which gets weak after 40 rings (from memory).
func KeepTube(t *testing.T, kept *store.Store, rings int) store.Design {
	t.Helper()
	f := figure.Tube("Lighthouse tower", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 8, rings)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	return d
}

// PaintSome makes steps in a figure.
func PaintSome(t *testing.T, kept *store.Store, id string, n int) {
	t.Helper()
	var asks []store.Ask
	for i := range n {
		asks = append(asks, store.Ask{Seq: int64(i + 1), Kind: store.KindEdit, Edit: &figure.SetTitle{Title: fmt.Sprint("Lighthouse ", i+1)}})
	}
	answers, err := kept.Apply(context.Background(), id, store.Person{ID: "mira"}, "page", asks)
	require.NoError(t, err)
	for _, a := range answers {
		require.Empty(t, a.Faults)
	}
}

// Behind changes a database behind the app's back.
func Behind(t *testing.T, db, query string, args ...any) {
	t.Helper()
	con, err := sql.Open("sqlite3", db)
	require.NoError(t, err)
	done, err := con.Exec(query, args...)
	require.NoError(t, err)
	n, err := done.RowsAffected()
	require.NoError(t, err)
	require.Positive(t, n)
	require.NoError(t, con.Close())
}

func KeepFile(t *testing.T, kept *store.Store, name string) store.Design {
	t.Helper()
	data, err := os.ReadFile(Repo(name))
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	return d
}

const SixtyEight = "internal/figure/testdata/sixty-eight.tuckring.json"

// Big is a number of the report's head as the page writes it.
func Big(value string) string {
	return `<span class="big"><span class="together">` + value + `</span></span>`
}

func Saved(t *testing.T, kept *store.Store, id string) report.Settings {
	t.Helper()
	d, _, err := kept.Get(context.Background(), id)
	require.NoError(t, err)
	settings, err := report.ReadSettings(d.Settings)
	require.NoError(t, err)
	return settings
}

func Escaped(s string) string {
	return strings.NewReplacer("&", "&amp;", `"`, "&#34;", "<", "&lt;", ">", "&gt;").Replace(s)
}

// Lighthouse is the example of the contract.
func Lighthouse(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(Repo("internal/figure/testdata/contract-example.tuckring.json"))
	require.NoError(t, err)
	return data
}

func KeepLighthouse(t *testing.T, kept *store.Store) store.Design {
	t.Helper()
	f, err := figure.Read(Lighthouse(t))
	require.NoError(t, err)
	d, err := kept.Create(context.Background(), f)
	require.NoError(t, err)
	return d
}

func Shelved(t *testing.T, kept *store.Store) []store.Design {
	t.Helper()
	designs, err := kept.List(context.Background(), false)
	require.NoError(t, err)
	return designs
}

// PlainForm is what the form of a new figure sends when only the title was typed.
func PlainForm() url.Values {
	return url.Values{"title": {"Honey jar"}, "units": {"20"}, "rings": {"16"}, "size": {"a9"}, "fold": {"doubled"},
		"ground": {"honey"}, "papers": {"soot", "chalk"}}
}

func TubeOf(units, rings int) string {
	ring := fmt.Sprintf(`{"runs": [{"n": %d, "colour": "brick"}]}`, units)
	return `{"tuckring": 1, "title": "Tower", "unit": {"long_mm": 52, "short_mm": 37},
		"colours": [{"id": "brick", "name": "Brick red", "hex": "#a63a2b"}, {"id": "chalk", "name": "Chalk", "hex": "#f4efe6"}, {"id": "soot", "name": "Soot", "hex": "#2b2b2e"}],
		"rings": [` + strings.Repeat(ring+",", rings-1) + ring + `]}`
}
