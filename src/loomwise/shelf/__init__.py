"""Circuits kept at hand: the ones that ship with Loomwise. Their vehicles are invented."""

from loomwise.shelf.loader import read_shelf, shelf_names, shelf_text

__all__ = ["read_shelf", "shelf_names", "shelf_text"]
