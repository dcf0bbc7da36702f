"""The answers: what follows from the facts, computed, never stored."""

from roomwright.answers.engine import Answers, Ask, query

__all__ = ["Answers", "Ask", "query"]
