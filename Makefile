# Everything runs in .venv; the first target that needs it makes it.
PYTHON  ?= python3
ADDRESS ?= 127.0.0.1:8000
export NO_MKDOCS_2_WARNING := 1

.PHONY: venv serve site archive test long fuzz mutants audit bench check

venv: .venv/ready

.venv/ready: pyproject.toml requirements.txt
	$(PYTHON) -m venv .venv
	.venv/bin/pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements.txt
	.venv/bin/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	touch $@

# Build the site, serve it at http://$(ADDRESS)/ and rebuild on every change to docs, rules, calc or hooks.
serve: venv
	.venv/bin/python -m mkdocs serve --dev-addr $(ADDRESS)

# Build strictly into build/next; only a build that succeeded becomes `site`.
site: venv
	.venv/bin/python -m mkdocs build --strict
	.venv/bin/python -m hooks.release

# The published site and all its numbers in one dated file.
archive: site
	.venv/bin/python -m hooks.archive

test: venv
	.venv/bin/python -m pytest --numprocesses 4 --dist worksteal

# Every plan of the fleet and of 2,000 random machines computed a second time in another way: worst differences, jumps.
# The whole site built twice, in other folders and settings: the same bytes.
# A hundred builds killed at any moment.
long: venv
	cd tests && ../.venv/bin/python -m independent
	.venv/bin/python tests/test_reproducible.py
	FIRMWRAP_KILLED=100 .venv/bin/python -m pytest -q tests/test_faults.py

# 100,000 changes of the data files, other ones each time: nonsense is refused, the rest counts as it stands.
fuzz: venv
	FIRMWRAP_TRIED=100000 .venv/bin/python -m pytest -q --numprocesses 2 tests/test_bad_input.py

# What Lighthouse says of the published site on a phone, median of five runs a page, against the goals; needs npm.
audit: site tests/audit/node_modules
	cd tests && ../.venv/bin/python -m audit

tests/audit/node_modules: tests/audit/package-lock.json
	npm ci --prefix tests/audit
	touch $@

# Every small change of a formula must make a test fail.
mutants: venv
	.venv/bin/python tests/mutants.py

# Times, memory and sizes against the goals, at 60, 600 and 2,400 plan pages; half an hour.
bench: venv
	.venv/bin/python -m benchmark

check: venv
	.venv/bin/python -m ruff check .
	.venv/bin/python -m mypy
	.venv/bin/python -m calc check
