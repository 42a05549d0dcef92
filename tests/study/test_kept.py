from dataclasses import replace

from loomwise.study.kept import CaseKey, as_line, read_lines
from tests.study.ends import RIGHT


def test_a_case_is_kept_to_the_last_field() -> None:
    """What is written of a case is read again as it was."""
    key = CaseKey("abc", "plain", 1, 7)
    ended = replace(RIGHT, near=("wire C1.1-C2.1",), misled=3)
    assert read_lines([as_line(key, ended)]) == {key: ended}


def test_broken_lines_are_passed_over() -> None:
    """Half a line, an empty one and a line of something else are no cases."""
    line = as_line(CaseKey("abc", "plain", 1, 0), RIGHT)
    assert len(read_lines([line[:40], "", "[]", "3", '{"a": 1}', line])) == 1
