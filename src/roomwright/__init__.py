"""Roomwright runs a house through its finish phase: facts -> answers -> faces."""

__version__ = "0.1.0"
