#!/usr/bin/env bash
# Fails when a committed *_templ.go differs from what templ makes of its *.templ. It compares file
# contents, so it works on a tree with uncommitted changes too; the fresh files are left in place.
set -euo pipefail
sums() { find . -name '*_templ.go' -not -path './node_modules/*' -print0 | sort -z | xargs -0r sha256sum; }
before=$(sums)
for f in $(find . -name '*_templ.go' -not -path './node_modules/*'); do
	[ -f "${f%_templ.go}.templ" ] || { echo "$f has no .templ file: remove it" >&2; exit 1; }
done
go tool templ generate -log-level error
if [ "$before" != "$(sums)" ]; then
	echo "The generated templ code was out of date. It has been made anew: look at it and commit it." >&2
	diff <(echo "$before") <(sums) >&2 || true
	exit 1
fi
