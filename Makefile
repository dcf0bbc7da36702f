# Roomwright: `make run` opens the demo house, `make test` runs every test. See README.md.
SHELL := /bin/sh
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: setup dev run test check bench docs clean
.DEFAULT_GOAL := help

help:
	@echo "make run    set everything up, load the demo house and open it in a browser"
	@echo "make setup  make .venv with the roomwright command"
	@echo "make test   run every test (gets the browser and PostgreSQL itself where it can)"
	@echo "make check  formatting, types, and that the docs say what the code does"
	@echo "make bench  measure, and write docs/benchmarks.md"

setup: $(VENV)/.run-done

$(VENV)/.made:
	@$(PYTHON) -c 'import sys; sys.exit(0 if sys.version_info >= (3, 11) else "Roomwright needs Python 3.11 or newer; this is " + sys.version.split()[0])'
	@$(PYTHON) -m venv $(VENV) || { echo "Python cannot make a virtual environment: install its venv part (Debian, Ubuntu: apt install python3-venv)"; exit 1; }
	@touch $@

$(VENV)/.run-done: requirements/run.txt pyproject.toml $(VENV)/.made
	@echo "Setting up (a minute or so the first time) ..."
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/run.txt
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

dev: $(VENV)/.dev-done

$(VENV)/.dev-done: requirements/dev.txt $(VENV)/.run-done
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/dev.txt
	@touch $@

run: setup
	@$(BIN)/roomwright demo

test: dev
	@sh tools/test-needs.sh
	@$(BIN)/python -m pytest -q -n auto --dist worksteal

check: dev
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/python tools/make_docs.py --check
	@$(BIN)/python -m pytest -q tests/test_docs.py tests/test_third_party.py

docs: dev
	@$(BIN)/python tools/make_docs.py

bench: dev
	@$(BIN)/python -m benchmarks.run

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache
