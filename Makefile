# Tenths: `make run` and `make test` are all that a newcomer needs.

PYTHON ?= python3
BIN := .venv/bin
SHOP ?= out/shop
BENCH ?= yes

.PHONY: run test check benchmark requirements docs clean

run: .venv/.run
	@$(BIN)/python -m tenths.first_run --shop $(SHOP) $(if $(filter no,$(BENCH)),--no-bench)

test: .venv/.dev
	$(BIN)/pytest --numprocesses auto --dist worksteal

check: .venv/.dev
	$(BIN)/ruff check
	$(BIN)/basedpyright
	$(BIN)/lint-imports
	@if command -v npm >/dev/null; then $(MAKE) --no-print-directory .venv/js/node_modules/typescript && \
	    .venv/js/node_modules/.bin/tsc -p src/tenths/bench/tsconfig.json && echo "Scripts of the pages: types hold."; \
	    else echo "Scripts of the pages: NOT checked, since Node and npm are missing here."; fi

.venv/js/node_modules/typescript:
	npm install --no-save --no-audit --no-fund --silent --prefix .venv/js typescript@5.9.3

benchmark: .venv/.dev
	@for file in benchmarks/bench_*.py; do echo; echo "== $$file"; $(BIN)/python $$file || exit 1; done

requirements: .venv/.dev
	for name in run dev; do $(BIN)/uv pip compile --quiet --universal --generate-hashes --python-version 3.11 \
	    --no-emit-index-url --no-emit-find-links --no-header --no-annotate \
	    requirements/$$name.in -o requirements/$$name.txt; done

clean:
	rm -rf .venv out build dist

.venv/.made:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	    { echo "Tenths needs Python 3.11 or newer; this is $$($(PYTHON) --version)."; exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || \
	    { echo "Python's venv is missing. Run this, then make again:  sudo apt-get install python3-venv"; exit 1; }
	$(PYTHON) -m venv --clear .venv
	@touch $@

.venv/.run: requirements/run.txt pyproject.toml | .venv/.made
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/run.txt
	$(BIN)/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@

.venv/.dev: requirements/dev.txt .venv/.run
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/dev.txt
	@touch $@
