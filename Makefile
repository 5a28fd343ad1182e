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

test: python office $(VENV)/tested ## every test, on what is installed the first time: 20 to 40 minutes (TESTS=... for some)
	$(SAY)
	$(BIN)/python -m pytest -n 2 --dist loadfile $(TESTS)

check: python office $(VENV)/tested ## style, types, generated files, every test; notes the commit that passed: 20 to 40 minutes
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
	$(BIN)/python -m tests.workbook.every_text

release: python $(VENV)/tested ## wheel, source archive, LibreOffice extension and workbooks with check sums in dist: a minute
	$(SAY)
	rm -rf dist && $(BIN)/python -m tarelot.addin.release dist

clean: ## takes out .venv, demo, build and dist
	rm -rf $(VENV) demo build dist

# The README's pictures: pages of the demo as a person sees them printed. Each line: PDF, sheet, picture, dots an inch,
# and the part of the page in dots.
PICTURES := workbook_templates/pictures
pictures: python office $(BIN)/tarelot ## the README's pictures, through LibreOffice: a minute; look at them
	$(SAY)
	$(BIN)/python -m tarelot.addin.pictures
	mkdir -p build && $(BIN)/tarelot demo --out build > /dev/null
	soffice -env:UserInstallation=file://$(CURDIR)/build/profile --headless --convert-to pdf --outdir build build/tarelot-demo.xlsx > /dev/null
	.ci/picture build/tarelot-demo.pdf Start $(PICTURES)/start.png 130 0 0 1105 1060
	.ci/picture build/tarelot-demo.pdf Lot $(PICTURES)/lot.png 160 40 60 1680 620
	.ci/picture build/tarelot-demo.pdf Trailer $(PICTURES)/trailer.png 120 40 50 1250 780
	.ci/picture build/tarelot-demo.pdf What-if $(PICTURES)/what-if.png 120 30 50 960 975
	.ci/picture build/tarelot-demo.pdf Match $(PICTURES)/match.png 100 20 40 1060 706
	.ci/picture build/tarelot-demo.pdf Tickets $(PICTURES)/tickets.png 190 40 50 2030 390
	$(BIN)/python -m tarelot.addin.pictures build/aboard.xlsx
	soffice -env:UserInstallation=file://$(CURDIR)/build/profile --headless --convert-to pdf --outdir build build/aboard.xlsx > /dev/null
	.ci/picture build/aboard.pdf What-if $(PICTURES)/aboard.png 120 30 50 960 520
	rm -f build/compare.pdf && $(BIN)/tarelot compare build/tarelot-demo.xlsx 1105 1106 1108 1109 --machine "Backhoe 15" --truck "Tandem dump 58" --pdf build/compare.pdf > /dev/null
	.ci/picture build/compare.pdf Compare $(PICTURES)/compare.png 120 30 50 1250 870
	rm -rf build/cards && $(BIN)/tarelot card build/tarelot-demo.xlsx 1105 --machine "Wheel loader 9" --truck "Tandem dump 58" --quote --valid-to "$$(date -d "+30 days" +%F)" --out build/cards > /dev/null
	.ci/picture build/cards/card-1105.pdf Card $(PICTURES)/card.png 100 20 30 810 1040
	.ci/picture build/cards/quote-1105.pdf Quote $(PICTURES)/quote.png 100 20 30 810 660
