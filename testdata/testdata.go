// Package testdata carries the project's own figure documents into the program: the demo shelf.
// The go command leaves folders of this name out of ./... but lets them be imported by name.
package testdata

import "embed"

// Shelf holds the documents of the demo figures, shelf/NAME.tuckring.json.
//
//go:embed shelf/*.tuckring.json
var Shelf embed.FS
