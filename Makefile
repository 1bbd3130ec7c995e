# make demo | make test | make check | make test-long | make mutants | make bench | make lint   (README.md says what each promises)
SHELL := /bin/bash
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
DEMO := .demo
PORT ?= 8000
DEMO_ENV = SECRET_KEY_FILE=$(DEMO)/secret-key DATA_DIR=$(DEMO) BUILD_DIR=.build \
	PUBLIC_URL=http://localhost:$(PORT) LOG_LEVEL=$${LOG_LEVEL:-WARNING}
BUILD_ENV = SECRET_KEY=for-building-and-checking-only-not-a-secret-of-anything-at-all BUILD_DIR=.build

.PHONY: help setup setup-dev demo test check test-long mutants bench lint lock clean

help:
	@sed -n '1p' Makefile

# The locked requirements, in a virtual environment of this folder; done again when they change.
$(VENV)/run.done: requirements.txt .ci/system
	@.ci/system print
	@$(PYTHON) -c 'import sys; sys.exit("Saddlebar needs Python 3.11 or newer.") if sys.version_info < (3, 11) else None'
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@echo "Installing the locked requirements ..."
	@$(BIN)/python -m pip install --quiet --require-hashes -r requirements.txt
	@touch $@

$(VENV)/dev.done: requirements-dev.txt $(VENV)/run.done
	@.ci/system browser
	@.ci/system proxy
	@echo "Installing the locked test requirements ..."
	@$(BIN)/python -m pip install --quiet --require-hashes -r requirements-dev.txt
	@touch $@

setup: $(VENV)/run.done
setup-dev: $(VENV)/dev.done

static: $(VENV)/run.done
	@$(BUILD_ENV) $(BIN)/python manage.py collectstatic --noinput -v 0

demo: $(VENV)/run.done
	@mkdir -p $(DEMO) && chmod 700 $(DEMO)
	@test -s $(DEMO)/secret-key || (umask 077; $(BIN)/python -c 'import secrets; print(secrets.token_urlsafe(64))' > $(DEMO)/secret-key)
	@$(DEMO_ENV) $(BIN)/python manage.py collectstatic --noinput -v 0
	@$(DEMO_ENV) $(BIN)/python manage.py migrate -v 0
	@$(DEMO_ENV) $(BIN)/python manage.py demo $(DEMO)
	@$(DEMO_ENV) $(BIN)/python manage.py serve --port $(PORT)

test: $(VENV)/dev.done
	@$(BIN)/python tests/run.py

# What needs no database, and the rooms changed since the main line.
check: $(VENV)/dev.done
	@$(BIN)/python tests/run.py check

# Each property on all the examples it deserves, by a new seed; each hostile value in each box.
test-long: $(VENV)/dev.done
	@LONG=1 $(BIN)/python tests/run.py

# Defects planted one at a time: those of a list, and some drawn by a seed (no part of `make test`).
mutants: $(VENV)/dev.done
	@$(BIN)/python -m tests.mutants --drawn 20 --seed 8

bench: $(VENV)/dev.done
	@$(BUILD_ENV) $(BIN)/python -m tests.bench

lint: $(VENV)/dev.done
	$(BIN)/ruff format --no-cache --check .
	$(BIN)/ruff check --no-cache .
	$(BIN)/lint-imports
	$(BIN)/mypy
	$(BIN)/djlint templates --check --quiet
	$(BIN)/djlint templates --lint --quiet
	@$(BUILD_ENV) $(BIN)/python manage.py makemigrations --check --dry-run
	@$(BUILD_ENV) $(BIN)/python manage.py check --fail-level WARNING
	@$(BUILD_ENV) SECRET_KEY=$$($(BIN)/python -c 'import secrets; print(secrets.token_urlsafe(64))') \
		PUBLIC_URL=https://records.example.org BEHIND_PROXY=1 \
		$(BIN)/python manage.py check --deploy --fail-level WARNING

# Remake the locked requirements from pyproject.toml (needs `pip install uv` in the environment).
LOCK = $(BIN)/uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes \
	--no-header --no-annotate --no-emit-index-url --quiet
lock: $(VENV)/dev.done
	$(LOCK) -o requirements.txt
	$(LOCK) --extra dev -c requirements.txt -o requirements-dev.txt

clean:
	rm -rf $(VENV) $(DEMO) .build .data
