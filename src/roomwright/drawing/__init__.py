"""Drawings: a room's plan, a storey, a strip of weeks. One SVG each, the same on page and paper.

A drawing is made from plain values (`roomwright.answers.plan_model`, `weeks.Row`). It computes no
answer: it only finds places for what it is given, so that no two texts ever touch.
"""
