# Traybook. `make help` lists what there is.

PYTHON ?= python3
VENV := .venv
RUN := $(VENV)/bin
PIP := $(RUN)/python -m pip --quiet --disable-pip-version-check --no-input

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help setup site test golden picture bench calibrate lock clean

help:  ## List the targets
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "  make %-8s %s\n", $$1, $$2 }' Makefile

setup: $(VENV)/ready-test  ## Make .venv with everything for work on Traybook

site: $(VENV)/ready-site  ## Build the demo farm's site into site/
	@$(RUN)/traybook site

# pytest comes last, so that its closing line is the last thing to be read.
test: $(VENV)/ready-test  ## Check layers, lint and format, then run all tests
	@$(RUN)/lint-imports --no-logo
	@$(RUN)/ruff check
	@$(RUN)/ruff format --check
	@$(RUN)/python -m pytest

golden: $(VENV)/ready-test  ## Write the golden files of tests/ anew; review the diff
	@TRAYBOOK_GOLDEN=write $(RUN)/python -m pytest

picture: $(VENV)/ready-test  ## Take the README's picture of the demo anew
	@$(RUN)/python tests/picture.py

bench: $(VENV)/ready-test  ## Measure how fast the figures of ten seasons are, in ratios
	@$(RUN)/python bench/figures.py

calibrate: $(VENV)/ready-test  ## Try the intervals on invented farms; WRITE=1 writes the manual's tables
	@$(RUN)/python bench/calibrate.py $(if $(WRITE),--write)

lock:  ## Work out the lock files anew; `make lock UPGRADE=--upgrade` takes newer releases
	@$(check-python)
	@work=$$(mktemp -d) && trap 'rm -rf "$$work"' EXIT && \
	$(PYTHON) -m venv "$$work" && "$$work/bin/python" -m pip --quiet --disable-pip-version-check install uv && \
	"$$work/bin/uv" $(COMPILE) --group setup -o requirements.lock && \
	"$$work/bin/uv" $(COMPILE) --group test -c requirements.lock -o requirements-test.lock

clean:  ## Remove all that was made, .venv too
	rm -rf $(VENV) site dist tests/actual .pytest_cache .ruff_cache .import_linter_cache .hypothesis
	find builder tests -name __pycache__ -prune -exec rm -rf {} +

# One lock serves every platform and every Python from 3.11 on.
COMPILE = pip compile --quiet --no-config --universal --python-version 3.11 --fork-strategy fewest \
	--generate-hashes --no-annotate --no-header $(UPGRADE) pyproject.toml

# What was installed for a Python that has gone since is gone too.
$(shell test -x $(RUN)/python || rm -f $(VENV)/ready-site $(VENV)/ready-test)

# A stamp newer than its lock and pyproject.toml means: nothing to install.
$(VENV)/ready-site: requirements.lock pyproject.toml $(RUN)/python
	$(call install,requirements.lock)
	@touch $@

$(VENV)/ready-test: requirements-test.lock requirements.lock pyproject.toml $(RUN)/python
	$(call install,requirements-test.lock)
	@.ci/chromium
	@touch $(VENV)/ready-site $@

$(RUN)/python:
	@$(check-python)
	@echo 'Making $(VENV)'
	@$(PYTHON) -m venv --clear $(VENV)

# A Python that was upgraded under .venv leaves it without pip.
define install
@$(RUN)/python -m pip --version >/dev/null 2>&1 || { $(check-python); $(PYTHON) -m venv --clear $(VENV); }
@echo 'Installing from $(1)'
@$(PIP) install --require-hashes -r $(1)
@$(PIP) install --no-build-isolation --no-deps -e .
endef

define check-python
command -v '$(PYTHON)' >/dev/null || { \
  echo 'No $(PYTHON) here. Traybook needs Python 3.11 or newer: make PYTHON=/path/to/python3' >&2; exit 1; }; \
'$(PYTHON)' -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
  echo "Traybook needs Python 3.11 or newer, and $(PYTHON) is $$('$(PYTHON)' -V 2>&1): make PYTHON=/path/to/python3" >&2; exit 1; }; \
'$(PYTHON)' -c 'import ensurepip, venv' 2>/dev/null || { \
  echo 'This $(PYTHON) cannot make a venv. On Debian and Ubuntu: apt-get install python3-venv' >&2; exit 1; }
endef
