"""Fault weights as the shop's own finished jobs have moved them: counted, visible, reversible."""

from loomwise.weights.learned import PRIOR_JOBS, Learned, Row

__all__ = ["PRIOR_JOBS", "Learned", "Row"]
