#!/usr/bin/env bash
# Says in one sentence each which tools are missing, and fails when any is. Usage: check-tools.sh build|test
set -uo pipefail
missing=0
need() { # need "what it is for" command...
	local why=$1
	shift
	for c in "$@"; do command -v "$c" >/dev/null 2>&1 && return; done
	echo "missing: $1 — $why" >&2
	missing=1
}
need "Go builds the program (see go.mod for the version)." go
need "the C compiler builds the SQLite driver. Debian: apt-get install gcc." "${CC:-gcc}" cc clang
need "Node.js builds the browser's side (version 20 or later)." node
need "npm installs what the browser's side is built with." npm
if [ "${1:-build}" = test ]; then
	need "the tests drive a real browser. Debian: apt-get install chromium." chromium chromium-browser google-chrome
	need "the tests read printed pages. Debian: apt-get install poppler-utils." pdftotext
fi
exit $missing
