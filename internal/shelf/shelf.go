// Package shelf holds the demo figures that a new shelf opens with: six figures of the folding club
// of a small seaside library, our own designs. The documents in testdata/shelf are the truth.
package shelf

import (
	"fmt"

	"tuckring/internal/figure"
	"tuckring/testdata"
)

// names is the order of the shelf.
var names = []string{"puffin", "swan", "lighthouse", "honey-jar", "octopus", "hare"}

// Figure is one demo figure: a short name that fits a file or an address, its document, and what the
// document says.
type Figure struct {
	Name     string
	Document []byte
	Figure   *figure.Figure
}

// Demo gives the demo figures in the order of the shelf. Every call reads them anew, so that the
// caller may change what it gets.
func Demo() []Figure {
	out := make([]Figure, len(names))
	for i, name := range names {
		doc, err := testdata.Shelf.ReadFile("shelf/" + name + ".tuckring.json")
		if err != nil {
			panic(fmt.Sprintf("shelf: %v", err))
		}
		f, err := figure.Read(doc)
		if err != nil {
			panic(fmt.Sprintf("shelf: %s: %v", name, err))
		}
		out[i] = Figure{Name: name, Document: doc, Figure: f}
	}
	return out
}
