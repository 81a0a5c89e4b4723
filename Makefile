# What a developer runs. Each target does its own set-up (scripts/setup) and
# says what it installs; all it asks for is git, make and Go 1.21 or newer.

# Go fetches this toolchain by itself: 1.26 builds forkstock as well, but its
# standard library has known holes that this one has not.
export GOTOOLCHAIN = go1.27.3
export CGO_ENABLED = 1
export FUZZTIME ?= 30s
PARTS ?= 100000
MOVEMENTS ?= 10000000

# Full-text search inside SQLite (FTS5) is what the bench holds the search
# against; forkstock itself does without it, so a plain go build has none.
test trials fuzz bench: export GOFLAGS = -tags=sqlite_fts5

.PHONY: help demo test trials fuzz bench

help:
	@echo 'make demo         build the invented shop, run the main job on it, then serve its pages'
	@echo 'make demo ONCE=1  the same, without serving'
	@echo 'make test         every check; closes with "N passed, N failed, N skipped"'
	@echo 'make trials       property and kill tests in full number, and the check values in ../shared'
	@echo 'make bench        measure the search with PARTS ($(PARTS)) parts beside SQLite FTS5, and'
	@echo '                  the ledger with MOVEMENTS ($(MOVEMENTS)) movements beside bare loops'
	@echo 'make fuzz         each fuzz target for FUZZTIME ($(FUZZTIME)), one after the other'

demo:
	@scripts/setup demo
	@go build -o forkstock ./cmd/forkstock
	@./forkstock demo --shop demo-shop $(if $(ONCE),--once)

bench:
	@scripts/setup demo
	@go build -o .tools/forkstock ./cmd/forkstock
	@over=0; .tools/forkstock bench --parts $(PARTS) || over=$$?; \
		.tools/forkstock bench --movements $(MOVEMENTS) && exit $$over

test trials fuzz:
	@scripts/setup $@
	@go build -o .tools/check ./scripts/check
	@.tools/check $@
