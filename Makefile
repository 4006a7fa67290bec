# Everything runs in .venv; the first target that needs it makes it.  What builds the site is installed by itself: who
# only reads or serves it needs none of what the tests need.
PYTHON  ?= python3
ADDRESS ?= 127.0.0.1:8000
RENEW   ?=
ON_A_SITE_OF_THEIR_OWN = $(addprefix tests/test_,briefing.py cite.py compare.py frame.py hostile.py profiles.py)
SCRIPTS  = $(filter-out %.conf %-tests,$(wildcard .ci/*))
INSTALL := .venv/bin/python -m pip install --quiet --disable-pip-version-check
OLDEST   = $(shell sed -n 's/^requires-python = ">=\(.*\)"$$/\1/p' pyproject.toml)
COMPILE  = build/lock/bin/uv pip compile pyproject.toml --quiet --universal --python-version $(OLDEST) $(RENEW) \
	--generate-hashes --no-annotate --custom-compile-command "make lock"
export NO_MKDOCS_2_WARNING := 1

.PHONY: help venv venv-test lock licences pictures serve site archive schemas test coverage long fuzz mutants audit bench check \
	lint-scripts architecture
.DEFAULT_GOAL := help

## print this list
help:
	@awk '/^## / { line = substr($$0, 4); next } \
	  line && /^[a-z-]+:/ { sub(":.*", ""); printf "make %-13s %s\n", $$0, line } { line = "" }' Makefile

## make .venv with what builds and serves the site
venv: .venv/ready

## make .venv with what the tests need, too
venv-test: .venv/ready-test

# A .venv of another Python is made anew, for what is installed for one version cannot be seen by another; so is one
# that was left half made, without pip.
.venv/ready: pyproject.toml requirements.txt
	@.ci/usable-python $(PYTHON)
	[ "$$(.venv/bin/python --version 2>&1)" = "$$($(PYTHON) --version 2>&1)" ] && \
	  .venv/bin/python -c "import pip" 2>/dev/null || $(PYTHON) -m venv --clear .venv
	$(INSTALL) --require-hashes --requirement requirements.txt
	$(INSTALL) --no-deps --no-build-isolation --editable .
	touch $@

.venv/ready-test: .venv/ready requirements-test.txt
	$(INSTALL) --require-hashes --requirement requirements-test.txt
	touch $@

# Both locks, for every Python from the oldest on.  What is pinned stays as long as it can; `make lock RENEW=--upgrade`
# takes the newest of what pyproject.toml leaves open.
## write both locks anew from pyproject.toml (RENEW=--upgrade: the newest that fits)
lock:
	@.ci/usable-python $(PYTHON)
	$(PYTHON) -m venv --clear build/lock
	build/lock/bin/python -m pip install --quiet --disable-pip-version-check uv==0.13.9
	$(COMPILE) --extra build --output-file requirements.txt
	$(COMPILE) --extra build --extra test --constraint requirements.txt --output-file requirements-test.txt

# LICENCES.md: what the site ships and what is pinned, each by what it says of itself.
## write LICENCES.md anew from the installed packages
licences: venv-test
	.venv/bin/python tests/licences.py

# The strip of README.md, from the site built last.
## take the pictures of README.md anew
pictures: venv-test site
	.venv/bin/python tests/pictures.py site

## build the site, serve it at http://127.0.0.1:8000/ (ADDRESS=...) and rebuild on every change
serve: venv
	.venv/bin/python -m mkdocs serve --dev-addr $(ADDRESS)

# One build at a time, each into a folder of its own: a failed one never touches `site`.
## build the site strictly; only a build that succeeded becomes `site`
site: venv
	.venv/bin/python -m hooks.building.release

## write the published site and all its numbers into one dated file
archive: site
	.venv/bin/python -m hooks.building.archive

## write the JSON Schemas of what is published, after a change of a declared field
schemas: venv-test
	.venv/bin/python -m hooks.building.schemas

# Three workers: while the browser of one is waited for, two others have the cores.  tests/conftest.py says why a file is
# run by one worker, and which files begin.
## run every test; browser tests where Chromium is installed
test: venv-test
	.venv/bin/python -m pytest --numprocesses 3 --dist loadfile --no-loadscope-reorder

# What the tests that need no site reach of calc; below the floor in pyproject.toml it fails.
## measure which lines of calc the quick tests reach
coverage: venv-test
	.venv/bin/python -m coverage run -m pytest -q -p no:xdist $$(cat .ci/quick-tests)
	.venv/bin/python -m coverage report

# Every plan of the fleet and of 2,000 random machines computed a second time in another way: worst differences, jumps.
# The whole site built twice, in other folders and settings: the same bytes.
# A hundred builds killed at any moment, fifty times two at once.  200 random machines held against the second
# computation and against what must hold whatever the machine.  The tests that build a site of changed data, with every
# crane and boom length.
## compute everything a second time, build twice, kill builds; an hour
long: venv-test
	cd tests && ../.venv/bin/python -m independent
	.venv/bin/python tests/test_reproducible.py
	FIRMWRAP_KILLED=100 FIRMWRAP_AT_ONCE=50 .venv/bin/python -m pytest -q tests/test_faults.py
	FIRMWRAP_MACHINES=200 .venv/bin/python -m pytest -q --numprocesses 2 tests/independent
	FIRMWRAP_WHOLE=1 .venv/bin/python -m pytest -q --numprocesses 2 --dist loadfile $(ON_A_SITE_OF_THEIR_OWN)

# Other changes each time: nonsense is refused, the rest counts as it stands.
## change the data files, and what people type, in 100,000 ways; about an hour and a half
fuzz: venv-test
	FIRMWRAP_TRIED=100000 .venv/bin/python -m pytest -q --numprocesses 2 tests/test_bad_input.py tests/test_typed_input.py

# The median of five runs a page.
## hold what Lighthouse says of the site on a phone against the goals; needs npm
audit: site venv-test tests/audit/node_modules
	cd tests && ../.venv/bin/python -m audit

tests/audit/node_modules: tests/audit/package-lock.json
	npm ci --prefix tests/audit
	touch $@

## change formulas and planner in small ways: each change must make a test fail; some five minutes
mutants: venv-test
	.venv/bin/python tests/mutants.py

# At 60, 600 and 2,400 plan pages.
## measure times, memory and sizes against the goals; half an hour
bench: venv-test
	.venv/bin/python -m benchmark

## check data, style, types and shell scripts
check: venv-test
	.venv/bin/python -m ruff check .
	.venv/bin/python -m ruff format --check .
	.venv/bin/lint-imports --no-cache
	.venv/bin/python -m mypy
	.venv/bin/python -m mypy --config-file tests/mypy.ini
	.venv/bin/shellcheck $(SCRIPTS)
	.venv/bin/python -m calc check

# Not in `check`, which runs where there is no Node.
## lint the scripts and style sheets of the pages; needs npm
lint-scripts: tests/scripts/node_modules
	tests/scripts/node_modules/.bin/biome lint --config-path=tests/scripts --error-on-warnings docs/assets

tests/scripts/node_modules: tests/scripts/package-lock.json
	npm ci --prefix tests/scripts
	touch $@

## draw the packages and their imports in docs/dev/architecture.svg
architecture: venv
	.venv/bin/python tests/architecture.py
