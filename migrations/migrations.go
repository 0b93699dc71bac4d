// Package migrations holds the steps that bring a Tuckring database to its present form, in the
// order of their numbers (pressly/goose). A step that has been released is never changed: what
// comes later is a new file.
package migrations

import "embed"

// Files are the steps.
//
//go:embed *.sql
var Files embed.FS
