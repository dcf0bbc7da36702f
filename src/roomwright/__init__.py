"""Roomwright runs a house through its finish phase: facts -> answers -> faces."""

import os

__version__ = "0.1.0"

# Matrices here are small. Two threads for each cost up to 60 times as much on a busy machine as
# one (a room of 120 corners: 188 s against 3), so numpy is told before it is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
