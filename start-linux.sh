#!/bin/sh
# Double-click (or run) to set Roomwright up and open it in a browser. The same as `make run`.
cd "$(dirname "$0")" || exit 1
exec sh tools/start.sh
