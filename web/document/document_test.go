package document_test

import (
	"archive/zip"
	"bytes"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/webtest"
)

func TestDocumentGoesInAndComesOutTheSame(t *testing.T) {
	s, kept := webtest.Keeping(t)
	w := webtest.Ask(t, s, webtest.SendingFile(t, "/open", "lighthouse.tuckring.json", webtest.Lighthouse(t)))
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	d := webtest.Shelved(t, kept)[0]
	w = webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/document"))
	f, err := figure.Read(webtest.Lighthouse(t))
	require.NoError(t, err)
	assert.Equal(t, string(f.Write()), w.Body.String())
	assert.Equal(t, `attachment; filename=Harbour-lighthouse.tuckring.json`, w.Header().Get("Content-Disposition"))
}

// The maker gets the tutorial in one zip; a line that cannot be shown is refused with its place, and a link brings none.
func TestTutorialIsHandedOut(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	base := "/d/" + d.ID
	w := webtest.Ask(t, s, webtest.Get(base+"/tutorial.zip?small=yes&credit=The+folding+club"))
	require.Equal(t, 200, w.Code, w.Body.String())
	assert.Equal(t, "application/zip", w.Header().Get("Content-Type"))
	z, err := zip.NewReader(bytes.NewReader(w.Body.Bytes()), int64(w.Body.Len()))
	require.NoError(t, err)
	assert.Greater(t, len(z.File), 40)
	w = webtest.Ask(t, s, webtest.Get(base+"/tutorial.zip?small=yes&credit="+strings.Repeat("x", 300)))
	assert.Equal(t, 422, w.Code)
	assert.Contains(t, w.Body.String(), "credit")
}
