// Command found says which browsers the tests are going to drive. It fails where one that is needed is missing, or too old.
package main

import (
	"errors"
	"fmt"
	"os"

	"tuckring/web/e2e/browsers"
)

func main() {
	ok := true
	for _, kind := range []browsers.Kind{browsers.Chromium, browsers.Firefox} {
		found, err := kind.Find()
		switch {
		case err == nil:
			fmt.Println(found)
		case kind.Name == browsers.Firefox.Name && errors.Is(err, browsers.ErrMissing) && !browsers.AllNeeded():
			fmt.Printf("%v. Its tests are left out; with CI=true they would fail.\n", err)
		default:
			fmt.Fprintln(os.Stderr, err)
			ok = false
		}
	}
	if !ok {
		os.Exit(1)
	}
}
