# What can be asked for. Nothing here needs root; the programs it needs are git, make and python3 with venv.
#
#   make demo    set up, check the quillback build, write all its papers into out/quillback/
#   make test    everything this machine can run, then a list of what it could not
#   make check   format, lint, types, floors, quick tests: before every commit
#   make long    big counts, three times the drawn examples, the oldest dependencies we allow: before an issue is closed
#   make perf    speed against a named peer
#   make lock    work out both lock files anew (asks the package index)

PYTHON ?= python3
WORKERS ?= 2

BIN := .venv/bin
RUN := .venv/.installed
TEST := .venv/.installed-test
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet

.PHONY: demo test check lint quick long oldest perf lock clean
.DELETE_ON_ERROR:

demo: $(RUN)
	@$(BIN)/python tools/demo.py quillback

test: $(TEST)
	$(BIN)/python -m pytest -q -n $(WORKERS)

check: lint quick

lint: $(TEST)
	$(BIN)/ruff format --check
	$(BIN)/ruff check --quiet
	$(BIN)/mypy --strict
	$(BIN)/lint-imports --no-logo

quick: $(TEST)
	$(BIN)/python -m pytest -q -n $(WORKERS) -m "not long and not slow" --hypothesis-profile=quick

long: $(TEST)
	$(BIN)/python -m pytest -q -n $(WORKERS) -m "long or hypothesis" --hypothesis-profile=long
	$(MAKE) oldest

oldest: $(TEST)
	bash tools/oldest.sh $(WORKERS)

perf: $(TEST)
	@$(BIN)/python -m benchmarks

lock: $(TEST)
	$(BIN)/python tools/lock.py

clean:
	rm -rf out .mypy_cache .pytest_cache .ruff_cache .import_linter_cache .hypothesis

# ---- setting up: repeated only when a lock, the package's own description or the interpreter changes

$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	    echo "coachwright needs Python 3.11 or newer; $(PYTHON) is $$($(PYTHON) -V 2>&1). Another one: make PYTHON=python3.12 ..."; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { \
	    echo "Python's venv is missing here. Once: sudo apt-get install -y git make python3-venv"; exit 1; }
	$(PYTHON) -m venv .venv

$(RUN): requirements.lock pyproject.toml src/coachwright/__init__.py | $(BIN)/python
	@echo "Setting up .venv: about a minute the first time"
	@$(PIP) --require-hashes -r requirements.lock
	@$(PIP) --no-deps --no-build-isolation --editable .
	@$(BIN)/python -m compileall -q src
	@touch $@

$(TEST): requirements-test.lock $(RUN)
	@echo "Adding what the tests use"
	@$(PIP) --require-hashes -r requirements-test.lock
	@touch $@
