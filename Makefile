# `make` builds the demo handbook, installing what is missing first. `make help` lists the rest.
#
# Variables: PYTHON=python3.12  N=10000 (with large)  PYTEST_ARGS="-k swap"  UPGRADE=1 (with lock)  HANDBOOK_APT=no (no system packages)

.DEFAULT_GOAL := handbook
.DELETE_ON_ERROR:
.SUFFIXES:
# What is loaded is compiled once, not anew by each of the hundreds of processes that tests start.
unexport PYTHONDONTWRITEBYTECODE
.PHONY: handbook test test-quick trust mutants audit bom licences large lint bench fonts lock clean help libraries poppler browser checkers openssh

VENV := .venv
BIN := $(VENV)/bin
SETUP := sh .ci/setup.sh
WEB := tests/web
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet
N := 2000

# The environment is made anew when its Python is gone, or when the folder was moved or copied from elsewhere.
ifneq ($(shell test -x $(BIN)/python && cat $(VENV)/place 2>/dev/null),$(CURDIR))
.PHONY: $(VENV)/place
endif

handbook: $(VENV)/run-time | libraries  ## build content/ into site/ and say where to open it
	@$(BIN)/handbook build

test: $(VENV)/dev $(WEB)/node_modules/.installed | libraries poppler browser checkers openssh  ## run the tests
	@$(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder $(PYTEST_ARGS)

test-quick: $(VENV)/dev | libraries  ## run the tests that need neither PDF engine nor browser
	@$(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder -m quick $(PYTEST_ARGS)

# Not yet timed as a whole. Of processor time test_fuzz.py takes some 400 s, test_bounds.py 60 s, test_endings.py 15 s.
trust: $(VENV)/dev $(WEB)/node_modules/.installed | libraries browser  ## stop, starve and feed it nonsense at length, and try all of which the suite tries a share each day: for many minutes
	@HANDBOOK_TRUST=long $(BIN)/python -m pytest -n 2 --dist worksteal --durations 5 tests/trust \
		$$(grep -rlE "^from (tests.trust.long|hypothesis) import" tests --include="test_*.py" --exclude-dir=trust) $(PYTEST_ARGS)

mutants: $(VENV)/dev | libraries  ## count which of 260 small changes of formulas, rounding, tables and rules the tests notice
	@$(BIN)/python -m tests.mutants $(MUTANTS_ARGS)

lint: $(VENV)/dev  ## check style, types and which layer imports which
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(VENV)/dev | libraries  ## measure builds and commands; ratios as a table and in build/bench.json
	@$(BIN)/python -m tests.benchmark.bench_build
	@$(BIN)/python -m tests.benchmark.bench_changes
	@$(BIN)/python -m tests.benchmark.bench_growth
	@$(BIN)/python -m tests.benchmark.bench_scale
	@$(BIN)/python -m tests.benchmark.kept

large: $(VENV)/dev  ## write invented content of N=2000 units into build/large-N
	@mkdir -p build && rm -rf build/large-$(N)
	@$(BIN)/python -m tests.benchmark.grown build/large-$(N) --units $(N)

fonts: $(VENV)/dev  ## cut the site's fonts anew, after a change of characters or of the face
	@$(BIN)/python -m builder.render.webfonts

help:  ## list these targets
	@awk -F ':.*## *' '/^[a-z-]+:.*##/ { printf "%-10s %s\n", $$1, $$2 }' Makefile

$(VENV)/place:
	@$(SETUP) venv $(VENV)
	@$(PIP) --require-hashes -r requirements-pip.lock
	@echo '$(CURDIR)' > $@

# Build tools stand in the lock file too, so the package itself is installed without asking for newer ones.
$(VENV)/run-time: requirements.lock pyproject.toml $(VENV)/place
	@echo "setup: installing what requirements.lock lists" >&2
	@$(PIP) --require-hashes -r requirements.lock
	@$(PIP) --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/dev: requirements-dev.lock $(VENV)/run-time
	@echo "setup: installing what requirements-dev.lock lists" >&2
	@$(PIP) --require-hashes -r requirements-dev.lock
	@touch $@

# Looked at each time, since it takes a moment only; one after the other, since apt serves one caller at a time.
libraries: | $(VENV)/place
	@$(SETUP) libraries $(BIN)/python

poppler: | libraries
	@$(SETUP) poppler

browser: | poppler
	@$(SETUP) browser

checkers: | browser
	@$(SETUP) checkers

openssh: | checkers
	@$(SETUP) openssh

# What the browser tests run on pages: accessibility rules and the HTML validator, as the lock file names them.
$(WEB)/node_modules/.installed: $(WEB)/package-lock.json $(WEB)/package.json | checkers
	@echo "setup: installing what $(WEB)/package-lock.json lists" >&2
	@cd $(WEB) && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error >&2
	@touch $@

# Tools for those who keep the locks; none of them is needed to build, and none shares the environment of what is built.
$(VENV)/tools/bin/uv: requirements-tools.lock $(VENV)/place
	@$(PIP) --upgrade --target $(VENV)/tools --require-hashes -r requirements-tools.lock
	@touch $@

COMPILE = $(VENV)/tools/bin/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header \
	$(if $(UPGRADE),--upgrade)

lock: $(VENV)/tools/bin/uv  ## write the lock files from pyproject.toml; UPGRADE=1 takes newer versions
	printf 'hatchling>=1.27\neditables\n' | $(COMPILE) pyproject.toml - -o requirements.lock
	$(COMPILE) pyproject.toml -c requirements.lock --group test --group lint -o requirements-dev.lock
	echo pip | $(COMPILE) - -o requirements-pip.lock
	printf 'uv\npip-audit\n' | $(COMPILE) - -o requirements-tools.lock
	$(BIN)/python .ci/supply.py licences > docs/licences.md

# What no list knows is a failure: else it would say that nothing is known where nobody was asked.
audit: $(VENV)/tools/bin/uv  ## ask public lists for known weaknesses of what is pinned
	PYTHONPATH=$(VENV)/tools $(BIN)/python -m pip_audit --strict --require-hashes --disable-pip -r requirements.lock
	PYTHONPATH=$(VENV)/tools $(BIN)/python -m pip_audit --strict --require-hashes --disable-pip -r requirements-dev.lock

bom: $(VENV)/run-time  ## write the bill of materials, CycloneDX, into build/bom.json
	@mkdir -p build && $(BIN)/python .ci/supply.py bom > build/bom.json && echo build/bom.json

licences: $(VENV)/run-time  ## write docs/licences.md anew
	@$(BIN)/python .ci/supply.py licences > docs/licences.md

clean:  ## remove the environment, caches and the built site, but no released revision
	rm -rf $(VENV) $(WEB)/node_modules build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache
	find builder tests -name __pycache__ -type d -prune -exec rm -rf {} +
	if [ -d site ]; then find site -mindepth 1 -maxdepth 1 ! -name README.md ! -name revisions -exec rm -rf {} +; fi
