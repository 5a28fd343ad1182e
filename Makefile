# Two commands for a new machine: make demo, make test.  For developers: make check, make bench, make generate.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: demo test check bench generate office clean

$(BIN)/tarelot: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable .
	touch $@

$(VENV)/tested: pyproject.toml $(BIN)/tarelot
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[test]'
	touch $@

demo: $(BIN)/tarelot
	$(BIN)/tarelot demo --out demo

office:
	bash .ci/install-office

test: $(VENV)/tested office
	$(BIN)/python -m pytest -n 2 --dist loadfile

check: $(VENV)/tested office
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m workbook_templates.generate --check
	$(BIN)/python -m pytest -n 2 --dist loadfile

bench: $(VENV)/tested office
	$(BIN)/python tests/bench.py

generate: $(VENV)/tested
	$(BIN)/python -m workbook_templates.generate

clean:
	rm -rf $(VENV) demo build dist
