package tutorial

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image/png"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/shelf"
	"tuckring/internal/words"
)

func files(t *testing.T, f *figure.Figure, o Options) map[string][]byte {
	t.Helper()
	var b bytes.Buffer
	tut := &Tutorial{f: f, o: o, say: words.English, fine: 0.1} // coarser than what is handed out, in less time
	require.NoError(t, tut.write(t.Context(), &b))
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	require.NoError(t, err)
	out := map[string][]byte{}
	for _, file := range z.File {
		r, err := file.Open()
		require.NoError(t, err)
		out[file.Name], err = io.ReadAll(r)
		require.NoError(t, err)
	}
	require.Len(t, out, len(z.File), "no name twice")
	return out
}

func post(t *testing.T) *figure.Figure {
	t.Helper()
	f, err := figure.Read(figure.Tube("Post *of* the quay", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "Sea", Hex: "#0b6e6e"}, {ID: "b", Name: "Sand", Hex: "#e3cfa4"}}, 8, 3).Write())
	require.NoError(t, err)
	return f
}

// frames counts the pictures of an animated WebP and adds up their time, ms (RFC 9649, 2.7: chunks ANMF, whose duration is in bytes 12 to 14).
func frames(t *testing.T, data []byte) (n, ms int) {
	t.Helper()
	require.Equal(t, "RIFF", string(data[:4]))
	require.Equal(t, "WEBPVP8X", string(data[8:16]))
	require.Equal(t, len(data), int(binary.LittleEndian.Uint32(data[4:]))+8)
	for at := 12; at < len(data); {
		size := int(binary.LittleEndian.Uint32(data[at+4:]))
		if string(data[at:at+4]) == "ANMF" {
			n++
			ms += int(data[at+20]) | int(data[at+21])<<8 | int(data[at+22])<<16
		}
		at += 8 + size + size%2
	}
	return n, ms
}

func TestTutorialHasAllThatTeachesAFigure(t *testing.T) {
	f := post(t)
	told := 0
	o := Options{Settings: report.DefaultSettings(), Credit: "The folding club", Licence: "CC BY-SA 4.0", Address: "https://library.example/post", Told: func(done, all int) {
		assert.Equal(t, told+1, done)
		assert.LessOrEqual(t, done, all)
		told = done
	}}
	got := files(t, f, o)
	assert.Len(t, got, told)
	assert.Equal(t, f.Write(), got["figure.tuckring.json"])
	for name, want := range map[string][2]int{"cards-1920x1080": {192, 108}, "cards-1080x1920": {108, 192}} {
		n := 0
		for file, data := range got {
			if strings.HasPrefix(file, name+"/") {
				n++
				c, err := png.DecodeConfig(bytes.NewReader(data))
				require.NoError(t, err)
				assert.Equal(t, want, [2]int{c.Width, c.Height}, file)
			}
		}
		// title, materials, cutting, 7 folds, the unit, 1 way to tuck, 4 of the first rings, reading, 3 rings, done
		assert.Equal(t, 3+7+1+1+4+1+3+1, n, name)
	}
	n, ms := frames(t, got["turntable.webp"])
	assert.Equal(t, [2]int{48, 48 * 90}, [2]int{n, ms})
	n, ms = frames(t, got["build-up.webp"])
	assert.Equal(t, [2]int{3, 2*350 + 2500}, [2]int{n, ms})
	for _, paper := range []string{"a4", "letter"} {
		assert.True(t, bytes.HasPrefix(got["handout-"+paper+".pdf"], []byte("%PDF")))
	}
	again := files(t, f, Options{Settings: o.Settings, Credit: o.Credit, Licence: o.Licence, Address: o.Address})
	assert.Equal(t, got, again, "the same to the byte")
}

// The totals of the script are the report's, the times go on, and every ring has its paragraph; what the maker typed is no markup.
func TestScriptCountsAsTheReportDoes(t *testing.T) {
	for _, demo := range shelf.Demo() {
		f := demo.Figure
		made, err := report.Make(t.Context(), f, report.DefaultSettings())
		require.NoError(t, err)
		tut := &Tutorial{f: f, o: Options{Settings: report.DefaultSettings()}, say: words.English}
		steps, err := tut.prepare(t.Context())
		require.NoError(t, err)
		text := string(tut.script(steps, false))
		assert.Contains(t, text, fmt.Sprintf("%d of %d units built.", made.Units.Total, made.Units.Total), demo.Name)
		last := -1
		for _, m := range regexp.MustCompile(`(?m)^(\d+):(\d\d) `).FindAllStringSubmatch(text, -1) {
			at := 0
			_, err := fmt.Sscanf(m[1]+" "+m[2], "%d %d", &last, &at)
			require.NoError(t, err)
		}
		assert.Len(t, regexp.MustCompile(`(?m)^\d+:\d\d  (Ring|Row) `).FindAllString(text, -1), len(f.Rings), demo.Name)
		built := 0
		for _, st := range steps {
			assert.GreaterOrEqual(t, max(st.Units, built), built)
			built = max(built, st.Units)
		}
		assert.Equal(t, made.Units.Total, built, demo.Name)
	}
	tut := &Tutorial{f: post(t), o: Options{Settings: report.DefaultSettings()}, say: words.English}
	steps, err := tut.prepare(t.Context())
	require.NoError(t, err)
	assert.Contains(t, string(tut.script(steps, true)), `# Post \*of\* the quay`)
	assert.Equal(t, `12\. \#\<b\> 3.5`, escaped("12. #<b> 3.5"))
}

// However much is to be said, nothing leaves the card, and what does not fit is said to be elsewhere.
func TestCardsHoldTheirWords(t *testing.T) {
	f := post(t)
	long := Step{Heading: strings.Repeat("W", 200), Say: []string{strings.Repeat("word ", 900), strings.Repeat("W", 300)}}
	short := Step{Heading: "Ring 1", Say: []string{"Eight units."}}
	tut := &Tutorial{f: f, say: words.English}
	for _, sh := range shapes {
		assert.Contains(t, string(tut.card(&sh, &long, 1, 2).SVG()), "it is in the script")
		said := string(tut.card(&sh, &short, 1, 2).SVG())
		assert.NotContains(t, said, "it is in the script")
		for _, m := range regexp.MustCompile(`<text x="([\d.]+)" y="([\d.]+)"`).FindAllStringSubmatch(string(tut.card(&sh, &long, 1, 2).SVG()), -1) {
			var x, y float64
			_, err := fmt.Sscan(m[1], &x)
			require.NoError(t, err)
			_, err = fmt.Sscan(m[2], &y)
			require.NoError(t, err)
			assert.True(t, x <= 100*sh.width && y <= 100*sh.height, "%v, in hundredths of a mm", m)
		}
	}
}

func TestTutorialsThatCannotBeAreRefused(t *testing.T) {
	var b bytes.Buffer
	err := Write(t.Context(), &b, post(t), Options{Settings: report.DefaultSettings(), Credit: strings.Repeat("x", MaxLine+1)}, words.English)
	var faults figure.Faults
	require.ErrorAs(t, err, &faults)
	assert.Equal(t, "credit", faults[0].Where)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	assert.ErrorIs(t, Write(ctx, &b, post(t), Options{Settings: report.DefaultSettings()}, words.English), context.Canceled)
	assert.Zero(t, b.Len())
}

// A thousand rings share cards (found by trying it: 754 MB), and the script says every one of them.
func TestHighFiguresShareCards(t *testing.T) {
	f, err := figure.Read(figure.Tube("Mast", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "Sea", Hex: "#0b6e6e"}}, 6, figure.MaxRings).Write())
	require.NoError(t, err)
	tut := &Tutorial{f: f, o: Options{Settings: report.DefaultSettings()}, say: words.English}
	steps, err := tut.prepare(t.Context())
	require.NoError(t, err)
	assert.Less(t, len(steps), mostRingCards+30)
	text := string(tut.script(steps, false))
	assert.Contains(t, text, "Rings 997 to 1000")
	assert.Contains(t, text, "6000 of 6000 units built.")
	for _, ring := range []int{1, 2, 500, 999, 1000} {
		assert.Equal(t, 1, strings.Count(text, fmt.Sprintf("\nRing %d: 6 units.", ring)), ring)
	}
}
