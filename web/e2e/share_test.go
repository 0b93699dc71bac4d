package e2e_test

import (
	"bytes"
	"image/png"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	qr "github.com/piglig/go-qr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web"
	"tuckring/web/e2e"
)

func TestLinkShowsTheFigureToSomebodyWithoutScripts(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.Keep(t, "../../internal/figure/testdata/contract-example.tuckring.json")
		maker.Open(base)
		maker.Press("Share")
		maker.Sees("There is no link yet")
		maker.Press("Make a link to look")
		maker.Sees("For looking")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("share")
		address := maker.Field("Address of the link")

		friend := app.Desk(t)
		friend.WithoutScripts()
		friend.Open(address)
		friend.Sees("Harbour lighthouse")
		friend.Sees("You are looking through a link")
		friend.Picture("view-by-link")
		assert.False(t, friend.Has("Share"), "a viewer shares nothing")
		paper := e2e.PDFText(t, friend.Print(chromedp.PaperA4))
		assert.Contains(t, paper, "Brick red")
		assert.Equal(t, 1, strings.Count(paper, "\f"), "pages")

		maker.Press("Take back")
		maker.Sees("There is no link yet")
		friend.Open(address)
		friend.Sees("This link")
	})
}

func TestCodeOfALinkCanBeScanned(t *testing.T) {
	app := e2e.Start(t, func(c *web.Config) { c.LAN = true })
	maker := app.Phone(t)
	maker.Open(app.Keep(t, "../../internal/figure/testdata/contract-example.tuckring.json") + "/share")
	maker.Press("Make a link to look")
	maker.Sees("For looking")
	maker.FitsWidth()
	maker.CheckAccess()
	maker.Picture("share-lan")
	seen, err := chromedp.Run(maker.Context(), chromedp.Screenshot(chromedp.CSS("img.link-code")))
	require.NoError(t, err)
	picture, err := png.Decode(bytes.NewReader(seen))
	require.NoError(t, err)
	text, err := qr.Decode(picture)
	require.NoError(t, err)
	assert.Equal(t, maker.Field("Address of the link"), text)
}
