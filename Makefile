# What each target does and how long it takes on two cores: make help.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check
TESTS ?=
SAY = @sed -n 's/^$@:.*\#\# /make $@: /p' Makefile

.PHONY: help demo quick test check fresh bench generate release pictures clean python office
.NOTPARALLEL:

help: ## lists the targets
	@sed -n 's/^\([a-z]*\):.*## /make \1: /p' Makefile

# Only what may be looked at before anything is downloaded.
python:
	@bash .ci/check-python "$(PYTHON)" $(VENV)

$(BIN)/tarelot: pyproject.toml | python
	@echo "python: setting up $(VENV) with what the command needs: half a minute to 2 minutes"
	$(PYTHON) -m venv $(VENV)
	$(PIP) --editable .
	@touch $@

$(VENV)/tested: pyproject.toml $(BIN)/tarelot
	@echo "python: adding what the tests need, some 150 MB to download: 1 to 3 minutes"
	$(PIP) --editable '.[test]'
	@touch $@

$(VENV)/benched: $(VENV)/tested
	$(PIP) --editable '.[bench]'
	@touch $@

office:
	@bash .ci/install-office

demo: python $(BIN)/tarelot ## sets up Python in .venv, writes demo/ and prints the review: 1 to 2 minutes, then seconds
	$(SAY)
	$(BIN)/tarelot demo --out demo

quick: python $(VENV)/tested ## the tests without LibreOffice and without what takes seconds, for while at work
	$(SAY)
	$(BIN)/python -m pytest -n 2 --dist loadfile -m "not slow" $(TESTS)

test: python office $(VENV)/tested ## every test, on what is installed the first time: 8 to 15 minutes (TESTS=... for some)
	$(SAY)
	$(BIN)/python -m pytest -n 2 --dist loadfile $(TESTS)

check: python office $(VENV)/tested ## style, types, generated files, every test; notes the commit that passed: 8 minutes
	$(SAY)
	@bash .ci/note-check start
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	mkdir -p build/names/tarelot && ln -sfn $(CURDIR)/addin $(CURDIR)/calc $(CURDIR)/workbook_templates build/names/tarelot/
	$(BIN)/mypy
	$(BIN)/python -m tarelot.addin.generate --check
	$(BIN)/python -m pytest -n 2 --dist loadfile
	@bash .ci/note-check passed

fresh: ## both commands of the README on new Debian 12 and 13, as root and as a user: about an hour, needs root
	$(SAY)
	$(PYTHON) .ci/fresh.py

bench: python office $(VENV)/benched ## speed as ratios measured side by side: 10 minutes
	$(SAY)
	$(BIN)/python -m tests.bench

generate: python $(VENV)/tested ## the ready workbooks and extension, the README's table, the Excel module: half a minute
	$(SAY)
	$(BIN)/python -m tarelot.addin.generate

release: python $(VENV)/tested ## wheel, source archive, LibreOffice extension and workbooks with check sums in dist: a minute
	$(SAY)
	rm -rf dist && $(BIN)/python -m tarelot.addin.release dist

clean: ## takes out .venv, demo, build and dist
	rm -rf $(VENV) demo build dist

# The README's pictures: pages of the demo as a person sees them printed.
pictures: python office $(BIN)/tarelot ## the README's pictures, through LibreOffice: a minute; look at them
	$(SAY)
	$(BIN)/python -m tarelot.addin.pictures
	mkdir -p build && $(BIN)/tarelot demo --out build > /dev/null
	soffice -env:UserInstallation=file://$(CURDIR)/build/profile --headless --convert-to pdf --outdir build build/tarelot-demo.xlsx > /dev/null
	pdftoppm -r 130 -f 1 -l 1 -png -singlefile -x 0 -y 0 -W 1105 -H 1060 build/tarelot-demo.pdf workbook_templates/pictures/start
	pdftoppm -r 160 -f 2 -l 2 -png -singlefile -x 40 -y 60 -W 1680 -H 620 build/tarelot-demo.pdf workbook_templates/pictures/lot
	pdftoppm -r 120 -f 3 -l 3 -png -singlefile -x 40 -y 50 -W 1250 -H 780 build/tarelot-demo.pdf workbook_templates/pictures/trailer
	pdftoppm -r 120 -f 4 -l 4 -png -singlefile -x 30 -y 50 -W 960 -H 975 build/tarelot-demo.pdf workbook_templates/pictures/what-if
	pdftoppm -r 100 -f 6 -l 6 -png -singlefile -x 20 -y 40 -W 1060 -H 720 build/tarelot-demo.pdf workbook_templates/pictures/match
	pdftoppm -r 190 -f 10 -l 10 -png -singlefile -x 40 -y 50 -W 2030 -H 390 build/tarelot-demo.pdf workbook_templates/pictures/tickets
	$(BIN)/python -m tarelot.addin.pictures build/aboard.xlsx
	soffice -env:UserInstallation=file://$(CURDIR)/build/profile --headless --convert-to pdf --outdir build build/aboard.xlsx > /dev/null
	pdftoppm -r 120 -f 1 -l 1 -png -singlefile -x 30 -y 50 -W 960 -H 520 build/aboard.pdf workbook_templates/pictures/aboard
	rm -f build/compare.pdf && $(BIN)/tarelot compare build/tarelot-demo.xlsx 1105 1106 1108 1109 --machine "Backhoe 15" --truck "Tandem dump 58" --pdf build/compare.pdf > /dev/null
	pdftoppm -r 120 -png -singlefile -x 30 -y 50 -W 1250 -H 870 build/compare.pdf workbook_templates/pictures/compare
	rm -rf build/cards && $(BIN)/tarelot card build/tarelot-demo.xlsx 1105 --machine "Wheel loader 9" --truck "Tandem dump 58" --quote --valid-to "$$(date -d "+30 days" +%F)" --out build/cards > /dev/null
	pdftoppm -r 100 -png -singlefile -x 20 -y 30 -W 810 -H 1040 build/cards/card-1105.pdf workbook_templates/pictures/card
	pdftoppm -r 100 -png -singlefile -x 20 -y 30 -W 810 -H 660 build/cards/quote-1105.pdf workbook_templates/pictures/quote
