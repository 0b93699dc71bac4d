package document_test

import (
	"net/http"
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
