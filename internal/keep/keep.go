// Package keep holds the requirements of go.mod in place while the first packages are written.
// It goes when every import below is used elsewhere.
package keep

import (
	_ "github.com/lucasb-eyer/go-colorful"
	_ "github.com/tdewolff/canvas"
	_ "github.com/tdewolff/canvas/renderers"
	_ "github.com/xuri/excelize/v2"
	_ "golang.org/x/image/draw"
	_ "golang.org/x/image/font/gofont/goregular"
	_ "golang.org/x/text/currency"
	_ "pgregory.net/rapid"
)
