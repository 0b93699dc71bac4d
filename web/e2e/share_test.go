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
		maker.Open(app.KeepDemo(t)["lighthouse"])
		maker.Press("Share")
		maker.Sees("There is no link yet")
		maker.Press("Make a link for viewing")
		maker.Sees("For viewing")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("share")
		address := maker.Field("Address of the link")

		friend := app.Screen(t, maker.Width(), 800, false)
		friend.WithoutScripts()
		friend.Open(address)
		friend.Sees("Harbour lighthouse")
		friend.Sees("You opened this figure through a link for viewing")
		friend.Picture("view-by-link")
		assert.False(t, friend.Has("Share"), "a viewer shares nothing")
		printed := friend.Print(chromedp.PaperA4)
		friend.Keep("view-by-link.pdf", printed)
		paper := e2e.PDFText(t, printed)
		assert.Contains(t, paper, "692 units: 690 in 35 rings, 2 in extras")
		assert.Equal(t, 1, strings.Count(paper, "\f"), "pages")

		maker.Press("Turn off")
		maker.Sees("There is no link yet")
		friend.Open(address)
		friend.Sees("This link")
	})
}

func TestCodeOfALinkCanBeScanned(t *testing.T) {
	app := e2e.Start(t, func(c *web.Config) { c.LAN = true })
	maker := app.Phone(t)
	maker.Open(app.KeepDemo(t)["honey-jar"] + "/share")
	maker.Press("Make a link for viewing")
	maker.Sees("For viewing")
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
