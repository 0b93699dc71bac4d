package kernel_test

import (
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/webtest"
)

// Two bytes of a hundred thousand through one link kept every costly page from everybody for two minutes.
func TestAFormThatComesSlowlyHoldsNobodyUp(t *testing.T) {
	_, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	address := webtest.Running(t, kept, time.Minute)
	host := strings.TrimPrefix(address, "http://")
	for _, path := range []string{"/report", "/check", "/size/apply"} {
		slow, err := net.Dial("tcp", host)
		require.NoError(t, err)
		_, err = io.WriteString(slow, "POST /e/"+link.Token+path+" HTTP/1.1\r\nHost: "+host+
			"\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 100000\r\n\r\nx=")
		require.NoError(t, err)
		defer func() { _ = slow.Close() }()
	}
	time.Sleep(100 * time.Millisecond) // for their handlers to begin
	reader := http.Client{Timeout: 10 * time.Second}
	for _, path := range []string{"/check", "/size", "/list"} {
		res, err := reader.Get(address + "/d/" + d.ID + path)
		require.NoError(t, err, path)
		assert.Equal(t, 200, res.StatusCode, path)
		require.NoError(t, res.Body.Close())
	}
}
