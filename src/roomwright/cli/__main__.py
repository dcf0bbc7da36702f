"""Run as ``python -m roomwright.cli``."""

from roomwright.cli import main

main()
