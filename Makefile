# The chores of this repository. `make demo` shows what it does, `make test` checks everything.
PYTHON_IN_VENV := .venv/bin/python
DEMO := examples/marsh-tumbler.toml

.PHONY: help demo test lint types arrows tests format docs pictures bench designs jax constraints clean FORCE
.DEFAULT_GOAL := help

help: ## say what there is
	@awk -F':.*## ' '/^[a-z]+:.*## /{printf "  make %-12s %s\n", $$1, $$2}' Makefile

demo: .venv/ready-runtime ## build the environment and print the verdict on the demo aeroplane
	@.venv/bin/rotorwright balance $(DEMO)
	@echo; echo "See it in the browser: .venv/bin/rotorwright open examples"

test: lint types arrows tests ## everything: style, types, import arrows, all tests

lint: .venv/ready-dev ## style and layout (ruff)
	$(PYTHON_IN_VENV) -m ruff check .
	$(PYTHON_IN_VENV) -m ruff format --check .

types: .venv/ready-dev ## types (mypy --strict)
	$(PYTHON_IN_VENV) -m mypy

arrows: .venv/ready-dev ## the import contract of the house
	.venv/bin/lint-imports

# Two halves at once, one a core; the second prints when it is done.
SECOND_HALF := tests/studies tests/sheets tests/faces/web

tests: .venv/ready-dev ## the test-suite alone
	@log=$$(mktemp); trap 'rm -f "$$log"' EXIT; \
	$(PYTHON_IN_VENV) -m pytest $(SECOND_HALF) > "$$log" 2>&1 & second=$$!; \
	failed=0; $(PYTHON_IN_VENV) -m pytest tests $(SECOND_HALF:%=--ignore=%) || failed=1; \
	wait $$second || failed=1; cat "$$log"; exit $$failed

format: .venv/ready-dev ## lay out the code and mend what can be mended
	$(PYTHON_IN_VENV) -m ruff check --fix .
	$(PYTHON_IN_VENV) -m ruff format .

docs: .venv/ready-dev ## rebuild the generated pages
	@for tool in tools/*_page.py tools/*_pages.py; do echo $$tool; $(PYTHON_IN_VENV) $$tool || exit 1; done

pictures: .venv/ready-dev ## redraw the pictures of the docs
	@for tool in tools/*_pictures.py; do echo $$tool; $(PYTHON_IN_VENV) $$tool || exit 1; done

bench: .venv/ready-dev ## time the engine against the plain ways
	$(PYTHON_IN_VENV) benchmarks/run.py

designs: .venv/ready-dev ## time a million designs against scipy, NumPy and (after make jax) JAX
	$(PYTHON_IN_VENV) benchmarks/designs.py

jax: .venv/ready-dev ## install JAX for make designs, in an environment of its own
	$(PYTHON_IN_VENV) -m venv benchmarks/.venv-jax
	benchmarks/.venv-jax/bin/python -m pip install --quiet --constraint constraints-bench.txt jax

constraints: ## renew constraints.txt (needs uv)
	uv pip compile pyproject.toml --extra dev --extra cluster --universal --upgrade --quiet \
	  --no-header --no-annotate --no-emit-index-url -o constraints.txt

clean: ## remove the environment and every cache
	rm -rf .venv .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache

# `made-for` names the folder the environment was built for; a missing or foreign one forces a rebuild.
ifneq ($(shell cat .venv/made-for 2>/dev/null),$(CURDIR))
FOREIGN := FORCE
else ifneq ($(shell .venv/bin/python -c "print(1)" 2>/dev/null),1)
FOREIGN := FORCE
endif

.venv/ready-runtime: pyproject.toml constraints.txt tools/environment.sh $(FOREIGN)
	@if [ -e .venv/ready-dev ] && [ -z "$(FOREIGN)" ]; then sh tools/environment.sh dev; else sh tools/environment.sh runtime; fi
	@touch $@

.venv/ready-dev: pyproject.toml constraints.txt tools/environment.sh $(FOREIGN)
	@sh tools/environment.sh dev
	@touch $@ .venv/ready-runtime

FORCE:
