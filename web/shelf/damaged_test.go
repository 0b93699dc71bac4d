package shelf_test

import (
	"context"
	"log/slog"
	"net/url"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web"
	"tuckring/web/webtest"
)

func TestShelfOpensWhateverOneFigureIsLike(t *testing.T) {
	const of = `design = (SELECT number FROM designs WHERE id = ?)`
	for name, c := range map[string]struct {
		damage string
		last   string // "" when no version can be read
	}{
		"a step that cannot be carried out":  {`UPDATE steps SET edit = '{"do":"remove_ring","ring":77}' WHERE rev = 3 AND ` + of, "2"},
		"a step that is gibberish":           {`UPDATE steps SET edit = x'00ff' || 'x' WHERE rev = 2 AND ` + of, "1"},
		"a gap":                              {`DELETE FROM steps WHERE rev = 3 AND ` + of, "2"},
		"a document that breaks a rule":      {`UPDATE snapshots SET document = replace(document, '"n":', '"m":') WHERE ` + of, ""},
		"a document that is none":            {`UPDATE snapshots SET document = '' WHERE ` + of, ""},
		"identities that went past the last": {`UPDATE snapshots SET keys = replace(keys, '"next_ring":', '"next_ring":-') WHERE ` + of, ""},
		"no document":                        {`DELETE FROM snapshots WHERE ` + of, ""},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "tuckring.db")
			kept, err := store.Open(context.Background(), path)
			require.NoError(t, err)
			bad, good := webtest.KeepLighthouse(t, kept), webtest.KeepLighthouse(t, kept)
			webtest.PaintSome(t, kept, bad.ID, 5)
			require.NoError(t, kept.Close())
			webtest.Behind(t, path, c.damage, bad.ID)
			kept, err = store.Open(context.Background(), path)
			require.NoError(t, err)
			t.Cleanup(func() { require.NoError(t, kept.Close()) })
			var told webtest.Diary
			s := web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: told.Log(slog.LevelInfo)})

			for range 2 {
				w := webtest.Ask(t, s, webtest.Get("/"))
				require.Equal(t, 200, w.Code)
				page := w.Body.String()
				assert.True(t, strings.Contains(page, `href="/d/`+good.ID+`"`), "the other figure is there")
				assert.True(t, strings.Contains(page, "Lighthouse 5"), "it is shown under its title")
				assert.True(t, strings.Contains(page, "Damaged: "))
				assert.False(t, strings.Contains(page, bad.ID+"/picture.svg"))
				offer := "Continue from version " + c.last
				assert.Equal(t, c.last != "", strings.Contains(page, offer), page)
			}
			assert.Equal(t, 1, strings.Count(told.String(), "a figure is damaged"), "told once")
			assert.Contains(t, told.String(), bad.ID)
			assert.Contains(t, told.String(), "cause=")
			w := webtest.Ask(t, s, webtest.Get("/d/"+bad.ID))
			assert.Equal(t, 500, w.Code)
			assert.Contains(t, w.Body.String(), "This figure is damaged")

			require.Equal(t, 303, webtest.Ask(t, s, webtest.Post("/d/"+bad.ID+"/away", nil)).Code)
			for _, path := range []string{"/", "/away"} {
				assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get(path)).Code, path)
			}
			w = webtest.Ask(t, s, webtest.Post("/d/"+bad.ID+"/go-on", nil))
			if c.last == "" {
				assert.Equal(t, 500, w.Code)
				return
			}
			require.Equal(t, 303, w.Code)
			to, err := url.Parse(w.Header().Get("Location"))
			require.NoError(t, err)
			w = webtest.Ask(t, s, webtest.Get(to.Path))
			assert.Equal(t, 200, w.Code)
			assert.Contains(t, w.Body.String(), "Lighthouse "+c.last)
		})
	}
}
