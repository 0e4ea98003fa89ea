# Trug. `make help` prints what there is.

TODAY ?= 2026-10-10
GO ?= go
# The HEIC decoder is to use the library that it brings along, never one that
# happens to be on the machine.
export GOFLAGS := -tags=nodynamic

.PHONY: help demo build test quick ui types bench fuzz siege weaknesses update clean

help: ## print this
	@awk -F':.*## ' '/^[a-z]+:.*## /{printf "  make %-8s %s\n", $$1, $$2}' Makefile

demo: build ## run the invented season (TODAY=2026-11-25 shows it finished)
	./bin/trug demo --data demo-data --today $(TODAY)

build: ## build the program into bin/ (needs Go alone)
	$(GO) build -trimpath -ldflags="-s -w" -o bin/trug ./cmd/trug

test: ## everything, from a bare Debian machine with Go, as root
	sh scripts/test

quick: ## Go tests alone
	$(GO) vet ./...
	$(GO) test ./...

ui: ## build the web app from its sources into internal/web/dist
	cd internal/web/ui && npm ci --no-audit --no-fund && npm run build

types: ## write the API's description and the front end's types from it
	$(GO) test ./internal/web -run OpenAPI -update
	cd internal/web/ui && npm run api

bench: ## benchmarks
	$(GO) test -run '^$$' -bench . -benchmem ./...

fuzz: ## run each fuzz test for a while (FUZZTIME=30s)
	sh scripts/fuzz $(or $(FUZZTIME),30s)

siege: ## attack the server at full size: 10,000 requests, 9,000 silent connections
	$(GO) test ./internal/web -v -run 'TenThousand|Noise|ByTheThousand' -full

weaknesses: ## look the modules up among known weaknesses (asks public lists of them)
	$(GO) run golang.org/x/vuln/cmd/govulncheck@v1.6.0 ./...
	cd internal/web/ui && npm audit

clean: ## remove what was built and the demonstration's data
	rm -rf bin demo-data
