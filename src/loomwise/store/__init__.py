"""The shop's store: jobs as logs of dated entries, their circuits and photographs."""

from loomwise.store.archive import Archive, read_archive, write_archive
from loomwise.store.store import JobRow, Store
from loomwise.store.where import open_store

__all__ = ["Archive", "JobRow", "Store", "open_store", "read_archive", "write_archive"]
