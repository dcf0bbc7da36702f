@echo off
rem Double-click to set Roomwright up and open it in a browser. The same as "make run".
cd /d "%~dp0"
set PY=py -3
py -3 --version >nul 2>nul || set PY=python
%PY% -c "import sys; sys.exit(sys.version_info < (3, 11))" || (echo Roomwright needs Python 3.11 or newer: install Python from the Microsoft Store, then start this again. & pause & exit /b 1)
if not exist .venv\Scripts\python.exe %PY% -m venv .venv || (pause & exit /b 1)
rem set up anew when there is nothing yet, or when what is needed has changed since
.venv\Scripts\python -c "import os, sys; sys.exit(max(map(os.path.getmtime, ('requirements/run.txt', 'pyproject.toml'))) > os.path.getmtime('.venv/run-done'))" 2>nul || (
  echo Setting up, a minute or so the first time ...
  .venv\Scripts\python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements\run.txt || (pause & exit /b 1)
  .venv\Scripts\python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e . || (pause & exit /b 1)
  echo done> .venv\run-done
)
.venv\Scripts\roomwright demo
pause
