# Tuckring: `make run` to use it, `make test` to check everything. DEVELOPERS.md says more.

SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := build

export CGO_ENABLED := 1

GO_FILES := $(shell git ls-files -co --exclude-standard '*.go' 2>/dev/null || find . -name '*.go' -not -path '*/node_modules/*')
CLIENT_FILES := $(shell find web/client static/css -name node_modules -prune -o -name sentences.d.ts -prune -o -type f -print)
MODULES := web/client/node_modules/.package-lock.json
CLIENT := static/build/base.css
BIOME := web/client/node_modules/.bin/biome
SENTENCES := web/client/base/sentences.d.ts

# `make run DB=FILE` keeps the figures elsewhere than in the user's data folder.
DB ?=
LISTEN ?= 127.0.0.1:8080

.PHONY: run build client generate test check test-client test-race test-units test-browsers test-edits faults fuzz bench fmt clean tools pictures

## Use it

run: build ## start the app; figures are kept in your data folder, or in DB=FILE
	bin/tuckring serve --listen $(LISTEN) $(if $(DB),--db $(DB))

build: tools client ## write bin/tuckring
	go build -trimpath -ldflags '-s -w' -o bin/tuckring ./cmd/tuckring

## Parts of the build

tools:
	@.ci/check-tools build

client: $(CLIENT) $(SENTENCES) ## build the browser's side into static/build

# The keys of the browser's sentences as a type, for the compiler to check.
$(SENTENCES): $(wildcard internal/words/*.go internal/words/*/*.toml internal/words/sentences/*.go)
	go run ./internal/words/sentences > $@.new
	@mv $@.new $@

$(MODULES): web/client/package-lock.json
	npm ci --prefix web/client --no-fund --no-audit --loglevel=error
	@touch $@

$(CLIENT): $(MODULES) $(CLIENT_FILES)
	node web/client/build.mjs
	@touch $@

generate: ## make the Go code of the templ pages and the page's types of Go's anew
	go tool templ generate -log-level error
	go run ./internal/wire/typescript web/client/wire

fmt: $(MODULES) ## format Go, templ, TypeScript and CSS
	$(BIOME) check --write --log-level=error web/client static/css
	gofmt -w $(filter-out %_templ.go,$(GO_FILES))
	go tool templ fmt -log-level error web
	$(MAKE) -s generate

## Checks

test: ## everything: static checks, unit tests, real browsers; tells what each part took
	@.ci/check-tools test
	@go run ./web/e2e/browsers/found
	@.ci/parts client +test-browsers check test-race test-units test-edits test-client

check: client ## static checks only
	@.ci/check-tools test
	@echo "gofmt, go vet, staticcheck, templ, biome, tsc"
	@unformatted=$$(gofmt -l $(filter-out %_templ.go,$(GO_FILES))); \
		[ -z "$$unformatted" ] || { echo "Not formatted (run make fmt):"; echo "$$unformatted"; exit 1; }
	@.ci/check-generated
	go vet ./...
	go tool staticcheck ./...
	$(BIOME) check --error-on-warnings web/client static/css
	web/client/node_modules/.bin/tsc --noEmit -p web/client/tsconfig.json

test-client: client ## unit tests of the browser's side
	node web/client/build.mjs --tests
	node --test $$(find tmp/client-tests -name "*.test.mjs")

# All that starts goroutines, but for the browsers, which the race detector would make slow; what they ask of the app is raced here.
# SQLite's C code, in which it finds nothing, is compiled in a third of the time when it is not made fast. go vet is for check.
test-race: client ## Go tests of all that is concurrent, under the race detector, with the fuzz corpora
	CGO_CFLAGS="-g -O0" nice go test -race -vet=off -timeout 30m $$(.ci/sequential --not)

# .ci/sequential finds by itself what belongs here: under the race detector these would take six times as long and show nothing.
test-units: client ## Go tests of all that is sequential, with the fuzz corpora
	nice go test -vet=off -timeout 30m $$(.ci/sequential)

test-browsers: client ## the app in Chromium and Firefox, as a person uses it
	@.ci/check-tools test
	go test -vet=off -timeout 30m ./web/e2e

# Sequential, so the race detector has nothing to find here.
test-edits: ## more than 10 000 random edits of each kind of figure
	nice go test -vet=off ./internal/figure -run 'NeverUnbalance|KeepsUnitsAndOpenings|RandomFiguresOfParts' -rapid.checks=1000

# The guards that what is sent from outside must not get past, and a rough line; then faults that are really injected, and their table.
faults: client ## break what the app stands on, many times over; ends in a table of what was injected, told and found
	@failed=0; \
	go test -count=1 -run 'Hostile|Leave|Damaged|ReadOnly|Full|Lock|Backup|Restore|OnlySoMuch|Earlier' ./internal/figure ./internal/store || failed=1; \
	go test -count=1 -run 'Costly|Streams|Hands|Holds|HeldUp|Body|Ended|PassedOn|LeaveTheShelf|ShelfOpens' ./web/... || failed=1; \
	go test -count=1 -run RoughLine ./web/e2e || failed=1; \
	TUCKRING_FAULTS=all go test -count=1 -timeout 20m -v -run TestFaults ./internal/faults || failed=1; \
	exit $$failed

# All targets share FUZZ_SECONDS. What is found is written to testdata/fuzz beside the test; commit it: go test runs it ever after.
FUZZ_SECONDS ?= 600
FUZZ_PARALLEL ?= 2

fuzz: client ## look for input that breaks a reader, FUZZ_SECONDS in all
	@all=$$(grep -rl --include=*_test.go '^func Fuzz' cmd internal web | sort); \
	targets=$$(for file in $$all; do sed -n "s|^func \(Fuzz[A-Za-z]*\)(.*|./$$(dirname $$file) \1|p" $$file; done); \
	each=$$(( $(FUZZ_SECONDS) / $$(wc -l <<< "$$targets") )) failed=; \
	while read -r package name; do \
		echo "$$name in $$package, $$each s"; \
		go test -run '^$$' -fuzz "^$$name$$" -fuzztime "$${each}s" -fuzzminimizetime 3s -parallel $(FUZZ_PARALLEL) "$$package" || failed+=" $$name"; \
	done <<< "$$targets"; \
	[ -z "$$failed" ] || { echo "Found something:$$failed"; exit 1; }

# One package after the other; the figures come out as one table. A quiet machine gives quiet figures.
FIGURES := tmp/figures

bench: client ## every performance figure, with its baseline from the same run
	@mkdir -p tmp && rm -f $(FIGURES)
	TUCKRING_FIGURES=$(CURDIR)/$(FIGURES) go test -run '^$$' -bench . -skip 'BenchmarkTogether' -benchtime 2s -p 1 -timeout 30m ./...
	TUCKRING_FIGURES=$(CURDIR)/$(FIGURES) go test -run '^$$' -bench Together -benchtime 60s -timeout 30m ./web/...
	@go run ./internal/gauge/table $(FIGURES)

pictures: client ## take the pictures of the README anew
	TUCKRING_SHOTS=$(CURDIR)/tmp/readme go test -count=1 -run TestPicturesOfTheReadme ./web/e2e
	mkdir -p testdata/pictures
	cp tmp/readme/readme-editor-1280.png testdata/pictures/editor.png
	cp tmp/readme/readme-beside-1280.png testdata/pictures/beside.png
	cp tmp/readme/readme-report-1280.png testdata/pictures/report.png
	cp tmp/readme/readme-list.png testdata/pictures/list.png
	cp tmp/readme/readme-phone-390.png testdata/pictures/phone.png
	cp tmp/readme/readme-stand-390.png testdata/pictures/stand-phone.png
	cp tmp/readme/readme-picture-dusk-390.png testdata/pictures/picture-dusk.png
	cp tmp/readme/readme-picture-lighthouse-390.png testdata/pictures/picture-lighthouse.png
	cp tmp/readme/readme-picture-puffin-390.png testdata/pictures/picture-puffin.png
	cp tmp/readme/readme-solid-owl-390.png testdata/pictures/solid-owl.png
	cp tmp/readme/readme-solid-lighthouse-390.png testdata/pictures/solid-lighthouse.png

clean: ## remove what was built; designs stay
	rm -rf bin tmp static/build web/client/node_modules
