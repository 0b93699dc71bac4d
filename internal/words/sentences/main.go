// Command sentences writes the keys of the browser's sentences and the values each needs as a TypeScript
// type, so that the compiler refuses a key that the catalogue lacks and a value that is not given. The
// Makefile runs it into web/client/base/sentences.d.ts, which is not committed.
package main

import (
	"bufio"
	"fmt"
	"log"
	"maps"
	"os"
	"slices"
	"strings"

	"tuckring/internal/words"
)

func main() {
	out := bufio.NewWriter(os.Stdout)
	fmt.Fprintln(out, "// Written by `make client` from internal/words: the browser's sentences, and the values that each needs.")
	fmt.Fprintln(out, "export interface Sentences {")
	catalogue := words.Catalogue(prefix)
	for _, key := range slices.Sorted(maps.Keys(catalogue)) {
		fmt.Fprintf(out, "  %q: %s;\n", strings.TrimPrefix(key, prefix), needs(catalogue[key]))
	}
	fmt.Fprintln(out, "}")
	if err := out.Flush(); err != nil {
		log.Fatal(err)
	}
}

const prefix = "client."

// needs gives the names of a sentence's values as a union, never for a sentence without.
func needs(forms map[string]string) string {
	names := words.Names(forms)
	if len(forms) > 1 && !slices.Contains(names, "Count") {
		names = append(names, "Count")
	}
	if len(names) == 0 {
		return "never"
	}
	for i, name := range names {
		names[i] = fmt.Sprintf("%q", name)
	}
	return strings.Join(names, " | ")
}
