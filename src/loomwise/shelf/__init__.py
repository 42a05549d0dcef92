"""Circuits kept at hand, and worked jobs on each: the ones that ship with Loomwise. Their vehicles
are invented."""

from loomwise.shelf.loader import is_shelf_job, read_shelf, shelf_jobs, shelf_names, shelf_text

__all__ = ["is_shelf_job", "read_shelf", "shelf_jobs", "shelf_names", "shelf_text"]
