#!/bin/sh
# What `make run` does, for a machine without make: a virtual environment, then the demo.
for python in python3.13 python3.12 python3.11 python3; do
  command -v $python >/dev/null 2>&1 && $python -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && break
  python=
done
if [ -z "$python" ]; then
  echo "Roomwright needs Python 3.11 or newer. Install it from your system's software shop, then start this again."
  [ -t 0 ] && { printf 'Press Enter to close. '; read -r _; }
  exit 1
fi
set -e
[ -x .venv/bin/python ] || $python -m venv .venv
if [ ! -e .venv/.run-done ] || [ requirements/run.txt -nt .venv/.run-done ] || [ pyproject.toml -nt .venv/.run-done ]; then
  echo "Setting up (a minute or so the first time) ..."
  .venv/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/run.txt
  .venv/bin/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
  touch .venv/.made .venv/.run-done
fi
exec .venv/bin/roomwright demo
