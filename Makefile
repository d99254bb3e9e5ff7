# The one list of gates. Needs python3 >= 3.11 and make; everything else comes from the hashed locks.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
RUN := $(BIN)/python -m
PORT ?= 8765

.DEFAULT_GOAL := help
.PHONY: help demo test lint types imports format lock bench trust docs clean browser-tests

help: ## this list
	@grep -hE '^[a-z-]+:.*##' Makefile | sed 's/:.*##/\t/' | expand -t 16

$(VENV)/.python-ok:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Heftwright needs Python 3.11 or newer: set PYTHON=/path/to/python3.11 (found $$($(PYTHON) --version 2>&1))."; exit 1; }
	@$(PYTHON) -m venv $(VENV)
	@touch $@

$(VENV)/.runtime-ok: $(VENV)/.python-ok requirements.txt pyproject.toml
	@echo "Setting up (once): packages from the hashed lock …"
	@$(BIN)/pip install --quiet --disable-pip-version-check --no-compile --require-hashes --no-deps -r requirements.txt
	@$(BIN)/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.dev-ok: $(VENV)/.runtime-ok requirements-dev.txt
	@echo "Setting up (once): the tools of the tests …"
	@$(BIN)/pip install --quiet --disable-pip-version-check --no-compile --require-hashes --no-deps -r requirements-dev.txt
	@touch $@

demo: $(VENV)/.runtime-ok ## set up, run the main job on the demo gym, serve the web app and print its address
	@$(BIN)/heftwright demo --port $(PORT)

lint: $(VENV)/.dev-ok ## style, types, layers, templates (at most 40 s)
	@$(RUN) ruff format --check src tests bench
	@$(RUN) ruff check src tests bench
	@$(BIN)/lint-imports
	@$(BIN)/mypy
	@$(BIN)/djlint --quiet --lint src/heftwright

format: $(VENV)/.dev-ok ## put the code in its one shape
	@$(RUN) ruff format src tests bench
	@$(RUN) ruff check --fix src tests bench

test: $(VENV)/.dev-ok lint ## everything a contributor must pass
	@$(RUN) pytest -n 2 --dist loadfile

bench: $(VENV)/.dev-ok ## the figures, as a table and in bench/results.json (ONLY=prefix)
	@$(BIN)/python -m bench.run $(if $(ONLY),--only $(ONLY))

trust: $(VENV)/.dev-ok ## the longer checks, as a table and in bench/trust.json (ONLY=prefix)
	@$(BIN)/python -m bench.run_trust $(if $(ONLY),--only $(ONLY))

docs: $(VENV)/.dev-ok ## write docs/reference from the code
	@$(BIN)/python -m heftwright.cli.reference docs/reference

lock: $(VENV)/.dev-ok ## renew the hashed locks (no address is written)
	@$(RUN) uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --no-header --no-annotate --python-version 3.11 --extra build pyproject.toml -o requirements.txt $(LOCK_FLAGS)
	@$(RUN) uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --no-header --no-annotate --python-version 3.11 --extra build --extra dev -c requirements.txt pyproject.toml -o requirements-dev.txt $(LOCK_FLAGS)

clean: ## remove what set-up and tests made (the gym's data stay)
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis build
