// Package static holds what the browser is given as it is: icons, and under build the scripts, style
// sheets and fonts that `make client` writes there. Everything is embedded in the binary.
package static

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"io/fs"
)

// The pattern is wide on purpose: build is not committed, and a narrower pattern would keep the Go
// code from compiling before the client is built.
//
//go:embed *
var files embed.FS

// Files are all embedded files: "icon.svg", "build/base.css", …
func Files() fs.FS { return files }

// ErrNotBuilt says that the binary was compiled without the browser's side.
var ErrNotBuilt = errors.New("the browser's side is missing from this program: run `make client` (or just `make`) before `go build`")

// Built returns ErrNotBuilt when `make client` did not run before compiling.
func Built() error {
	if _, err := fs.Stat(files, "build/base.css"); err != nil {
		return ErrNotBuilt
	}
	return nil
}

// Fonts are the fonts that every page is written in; a browser that has them before it lays the page out
// moves nothing when they come.
func Fonts() []string {
	names, err := fs.Glob(files, "build/atkinson-hyperlegible-latin-[47]00-normal-*.woff2")
	if err != nil { // the pattern is a constant
		panic(err)
	}
	return names
}

// Version names the content of all files: it changes when any of them does, so that a browser
// can keep what it was given under that version for ever.
func Version() string {
	sum := sha256.New()
	err := fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := files.ReadFile(path)
		if err != nil {
			return err
		}
		sum.Write([]byte(path))
		sum.Write([]byte{0})
		sum.Write(data)
		return nil
	})
	if err != nil { // an embedded file system has no reading errors
		panic(err)
	}
	return hex.EncodeToString(sum.Sum(nil))[:12]
}
