"""Records of live data from elsewhere: a table of times, names and values, read as signs."""

from loomwise.records.series import Record, read_record
from loomwise.records.words import Change, Read, read_words

__all__ = ["Change", "Read", "Record", "read_record", "read_words"]
