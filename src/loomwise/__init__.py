"""Loomwise: a computable model of a vehicle circuit, and what to measure next."""

__version__ = "0.1.0"
