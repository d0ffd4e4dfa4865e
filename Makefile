# One command each to try, check, test and measure; CI calls the same ones. `make help` lists them.
SHELL := /bin/sh
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.SUFFIXES:

PYTHON ?= python3
VENV ?= .venv
WORKERS ?= 2
SOAK_MINUTES ?= 10
DEMO_OUT ?= build/demo
RECORDED := demo/lantern-street.reed
RECORDED_BPM := 112
TUNES := $(sort $(wildcard demo/*.reed))

# Relative to the environment, so that nothing outside it is ever used or changed.
PY := $(VENV)/bin/python
PIP := $(PY) -m pip --disable-pip-version-check -qq
PYTEST := $(PY) -m pytest -n $(WORKERS)

# Stamps: installing is skipped until the requirements or pyproject.toml change.
VENV_MADE := $(VENV)/.made
RUN := $(VENV)/.installed-run
DEV := $(VENV)/.installed-dev

.PHONY: help demo desk test test-quick lint format bench soak run-env dev-env clean distclean

help: ## this list
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/\1|\2/p' Makefile | awk -F'|' '{ printf "make %-11s %s\n", $$1, $$2 }'

demo: $(RUN) ## check a demo tune, write the packs of all into build/demo, one with recordings
	@test -n "$(TUNES)" || { echo "reedwright: no tune in demo/; this checkout is not whole" >&2; exit 1; }
	@$(PY) -m reedwright check $(firstword $(TUNES))
	@set -e; for tune in $(filter-out $(RECORDED),$(TUNES)); do \
		$(PY) -m reedwright pack "$$tune" -o "$(DEMO_OUT)/$$(basename "$$tune" .reed)" --audio none; \
	done
	@echo "recording $(RECORDED) at one tempo; without --tempo it is every tempo of the tune"
	@$(PY) -m reedwright pack $(RECORDED) -o "$(DEMO_OUT)/$(basename $(notdir $(RECORDED)))" --tempo $(RECORDED_BPM)
	@echo "Next: open a sheet.pdf, hear audio/demo-$(RECORDED_BPM).mp3, change a tune in demo/ and run make demo again, or try"
	@echo "      $(VENV)/bin/reedwright harp A --position 2    (all commands: docs/commands.md)"

desk: $(RUN) ## open the desk over the demo tunes in a browser
	@$(PY) -m reedwright desk demo

test: $(DEV) ## every test, the slow ones and tests/outside too
	@$(PYTEST) $(PYTEST_ARGS)

test-quick: $(DEV) ## the tests for while you work: at most two minutes
	@$(PYTEST) -m "not slow" --hypothesis-profile=quick $(PYTEST_ARGS)

lint: $(DEV) ## style, types and the arrows between rooms
	@$(PY) -m ruff check .
	@$(PY) -m ruff format --check .
	@$(PY) -m mypy
	@$(PY) -m pytest -q tests/test_rooms.py

format: $(DEV) ## let ruff tidy the code
	@$(PY) -m ruff check --fix .
	@$(PY) -m ruff format .

bench: $(DEV) ## measure against the gates and write bench/RESULTS.md
	@$(PY) -m bench

soak: $(DEV) ## long fuzz: make soak SOAK_MINUTES=60
	@$(PY) -m tests.soak --minutes $(SOAK_MINUTES)

run-env: $(RUN) ## install what running needs
	@:

dev-env: $(DEV) ## install what developing needs
	@:

$(VENV_MADE): tools/venv.sh
	@sh tools/venv.sh "$(PYTHON)" "$(VENV)"
	@touch $@

$(RUN): $(VENV_MADE) pyproject.toml requirements/run.txt
	@echo "installing the run-time requirements into $(VENV), once ..."
	@$(PIP) install -r requirements/run.txt
	@$(PIP) install --no-deps --editable .
	@touch $@

$(DEV): $(RUN) requirements/dev.txt requirements/soundfont.txt
	@echo "installing the development requirements into $(VENV), once ..."
	@$(PIP) install -r requirements/dev.txt
	@$(PIP) install --no-deps -r requirements/soundfont.txt
	@touch $@

clean: ## remove what was built and cached, keep the environment
	@rm -rf build dist .hypothesis .mypy_cache .pytest_cache .ruff_cache
	@find src tests bench tools -name __pycache__ -type d -prune -exec rm -rf {} +

distclean: clean ## remove the environment too
	@rm -rf $(VENV)
