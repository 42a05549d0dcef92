"""Joins diagnosis and planning: a circuit made ready, its suspects, and the next test."""
