# Two commands for a new machine: make demo, make test.  For developers: make check, make bench, make generate.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: demo test check bench generate office pictures clean

$(BIN)/tarelot: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable .
	touch $@

$(VENV)/tested: pyproject.toml $(BIN)/tarelot
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[test]'
	touch $@

$(VENV)/benched: $(VENV)/tested
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[bench]'
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
	mkdir -p build/names/tarelot && ln -sfn $(CURDIR)/addin $(CURDIR)/calc $(CURDIR)/workbook_templates build/names/tarelot/
	$(BIN)/mypy
	$(BIN)/python -m tarelot.addin.generate --check
	$(BIN)/python -m pytest -n 2 --dist loadfile

bench: $(VENV)/benched office
	$(BIN)/python -m tests.bench

generate: $(VENV)/tested
	$(BIN)/python -m tarelot.addin.generate

clean:
	rm -rf $(VENV) demo build dist

# The README's pictures: pages of the demo as a person sees them printed.
pictures: $(BIN)/tarelot
	mkdir -p build && $(BIN)/tarelot demo --out build > /dev/null
	soffice -env:UserInstallation=file://$(CURDIR)/build/profile --headless --convert-to pdf --outdir build build/tarelot-demo.xlsx > /dev/null
	pdftoppm -r 130 -f 1 -l 1 -png -singlefile -x 0 -y 0 -W 1105 -H 830 build/tarelot-demo.pdf workbook_templates/pictures/start
	pdftoppm -r 160 -f 2 -l 2 -png -singlefile -x 40 -y 60 -W 1680 -H 620 build/tarelot-demo.pdf workbook_templates/pictures/lot
	pdftoppm -r 120 -f 3 -l 3 -png -singlefile -x 30 -y 50 -W 960 -H 1010 build/tarelot-demo.pdf workbook_templates/pictures/what-if
	pdftoppm -r 100 -f 4 -l 4 -png -singlefile -x 20 -y 40 -W 810 -H 700 build/tarelot-demo.pdf workbook_templates/pictures/match
	rm -rf build/cards && $(BIN)/tarelot card build/tarelot-demo.xlsx 1105 --machine "Wheel loader 9" --truck "Tandem dump 58" --out build/cards > /dev/null
	pdftoppm -r 100 -png -singlefile -x 20 -y 30 -W 810 -H 1040 build/cards/card-1105.pdf workbook_templates/pictures/card
