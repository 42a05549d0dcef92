"""Where things on a drawing stand: the layout library elkjs, behind one small function."""

from loomwise.layout.engine import ENGINE, place

__all__ = ["ENGINE", "place"]
