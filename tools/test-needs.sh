#!/bin/sh
# Gets what the tests need besides Python: a browser and a PostgreSQL server. Where it cannot,
# it says how; the tests then skip what is missing and say so at their end.
set -u

have_browser() { for b in chromium chromium-browser google-chrome; do command -v $b >/dev/null 2>&1 && return 0; done; return 1; }
have_postgres() { command -v initdb >/dev/null 2>&1 || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; }

want=""
have_browser || want="$want chromium"
have_postgres || want="$want postgresql"
[ -n "$want" ] || exit 0

if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
  echo "Installing for the tests:$want"
  apt-get update -qq >/dev/null 2>&1
  if DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $want >/dev/null 2>&1; then exit 0; fi
fi
echo "Not here, and the tests that need it will be skipped:$want"
echo "  Debian or Ubuntu:  sudo apt-get install$want"
echo "  Fedora:            sudo dnf install chromium postgresql-server"
echo "  macOS (Homebrew):  brew install --cask chromium; brew install postgresql"
exit 0
