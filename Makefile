# Everything runs in .venv; the first target that needs it makes it.  What builds the site is installed by itself: who
# only reads or serves it needs none of what the tests need.
PYTHON  ?= python3
ADDRESS ?= 127.0.0.1:8000
RENEW   ?=
INSTALL := .venv/bin/python -m pip install --quiet --disable-pip-version-check
OLDEST   = $(shell sed -n 's/^requires-python = ">=\(.*\)"$$/\1/p' pyproject.toml)
COMPILE  = build/lock/bin/uv pip compile pyproject.toml --quiet --universal --python-version $(OLDEST) $(RENEW) \
	--generate-hashes --no-annotate --custom-compile-command "make lock"
export NO_MKDOCS_2_WARNING := 1

.PHONY: venv venv-test lock serve site archive schemas test long fuzz mutants audit bench check

venv: .venv/ready
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
lock:
	@.ci/usable-python $(PYTHON)
	$(PYTHON) -m venv --clear build/lock
	build/lock/bin/python -m pip install --quiet --disable-pip-version-check uv==0.13.9
	$(COMPILE) --extra build --output-file requirements.txt
	$(COMPILE) --extra build --extra test --constraint requirements.txt --output-file requirements-test.txt

# Build the site, serve it at http://$(ADDRESS)/ and rebuild on every change to docs, rules, calc or hooks.
serve: venv
	.venv/bin/python -m mkdocs serve --dev-addr $(ADDRESS)

# Build strictly into build/next; only a build that succeeded becomes `site`.
site: venv
	.venv/bin/python -m mkdocs build --strict
	.venv/bin/python -m hooks.building.release

# The published site and all its numbers in one dated file.
archive: site
	.venv/bin/python -m hooks.building.archive

# The JSON Schemas of what is published, after a change of a declared field (calc/**/*_fields.py, hooks/feed).
schemas: venv-test
	.venv/bin/python -m hooks.building.schemas

test: venv-test
	.venv/bin/python -m pytest --numprocesses 4 --dist worksteal

# Every plan of the fleet and of 2,000 random machines computed a second time in another way: worst differences, jumps.
# The whole site built twice, in other folders and settings: the same bytes.
# A hundred builds killed at any moment.  200 random machines held against the second computation and against what must
# hold whatever the machine.
long: venv-test
	cd tests && ../.venv/bin/python -m independent
	.venv/bin/python tests/test_reproducible.py
	FIRMWRAP_KILLED=100 .venv/bin/python -m pytest -q tests/test_faults.py
	FIRMWRAP_MACHINES=200 .venv/bin/python -m pytest -q --numprocesses 2 tests/independent

# 100,000 changes of the data files, other ones each time: nonsense is refused, the rest counts as it stands.
fuzz: venv-test
	FIRMWRAP_TRIED=100000 .venv/bin/python -m pytest -q --numprocesses 2 tests/test_bad_input.py

# What Lighthouse says of the published site on a phone, median of five runs a page, against the goals; needs npm.
audit: site venv-test tests/audit/node_modules
	cd tests && ../.venv/bin/python -m audit

tests/audit/node_modules: tests/audit/package-lock.json
	npm ci --prefix tests/audit
	touch $@

# Every small change of a formula must make a test fail.
mutants: venv-test
	.venv/bin/python tests/mutants.py

# Times, memory and sizes against the goals, at 60, 600 and 2,400 plan pages; half an hour.
bench: venv-test
	.venv/bin/python -m benchmark

check: venv-test
	.venv/bin/python -m ruff check .
	.venv/bin/python -m ruff format --check .
	.venv/bin/lint-imports --no-cache
	.venv/bin/python -m mypy
	.venv/bin/python -m calc check
