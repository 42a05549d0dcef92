"""Invented vehicle circuits of any size, drawn from blocks an electrician knows, by a seed.

``generate_circuit`` gives the text of a circuit file. ``Plan`` is a circuit while it grows: every
block (a function that takes the plan) adds its parts and wires, or raises ``NoRoomError`` and is
taken back.
"""

from loomwise.generate.grow import LEAST_PARTS, MOST_PARTS, generate_circuit

__all__ = ["LEAST_PARTS", "MOST_PARTS", "generate_circuit"]
