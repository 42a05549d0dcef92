from typing import Any

import pytest

from loomwise.circuit.document import read_document
from loomwise.errors import FileError


def _refusal(text: str) -> str:
    with pytest.raises(FileError) as caught:
        read_document(text, "f")
    (problem,) = caught.value.problems
    return str(problem)


@pytest.mark.parametrize("word", ["NO", "on", "off", "010", "1:30", "87a", "1e3", "null", "0.50"])
def test_words_stay_as_written(word: str) -> None:
    """Relay contact NO is not a denial, and pin 010 is not pin 8."""
    assert read_document(f"a: {word}\n{word}: [{word}]", "f").tree == {"a": word, word: [word]}


def test_every_entry_knows_its_line() -> None:
    """Whoever looks for a mistake is sent to the right line."""
    document = read_document("# head\na:\n  b: {c: 1,\n    d: 2}\nw:\n  - x\n  - y\n", "f")
    lines = {("a",): 2, ("a", "b"): 3, ("a", "b", "d"): 4, ("w", 1): 7}
    assert {path: document.line(path) for path in lines} == lines


def test_a_path_that_is_not_there_gives_the_nearest_line_above() -> None:
    """A value that is missing is looked for in the entry it belongs to."""
    document = read_document("a:\n  b: {c: 1}\n", "f")
    assert document.line(("a", "b", "motor", "current")) == 2


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("# only a remark\n", "empty"),
        ("- a\n- b", "line 1: the file is not a list of 'key: value' entries"),
        ("hello", "line 1: the file is not a list of 'key: value' entries"),
        ("a: [1, 2\nb: 3", "not YAML"),
        ("a: \x00", "not YAML"),
        ("a: \ud800", "not valid Unicode"),
        ("a: 1\n---\nb: 2", "line 2: a second document begins"),
        ("a: 1\nb: &x [1]\n", "line 2: anchors"),
        ("a: *x", "line 1: anchors"),
        ("a: !!python/object:os.system x", "line 1: tags"),
        ("? [a]\n: b", "line 1: a key is itself a list"),
        ("a: " + "[" * 50_000, "deeper than 12 levels"),
        ("a: " + "x" * 5_000_001, "5.0 MB"),
    ],
)
def test_what_cannot_be_a_circuit_is_refused(text: str, says: str) -> None:
    """A wrong file is refused before anything is built from it, and told why."""
    assert says in _refusal(text)


def test_an_expanding_file_is_refused_at_once() -> None:
    """Nine lines that stand for a billion words are not unfolded."""
    lines = ["a0: &a0 [x, x]"] + [f"a{i}: &a{i} [*a{i - 1}, *a{i - 1}]" for i in range(1, 40)]
    assert "line 1: anchors" in _refusal("\n".join(lines))


def test_a_repeated_key_names_both_lines() -> None:
    """Of two parts with one name, neither wins silently."""
    (problem,) = read_document("K1: a\nK2: b\nK1: c\n", "f").problems
    assert str(problem).startswith("f, line 3: 'K1' stands here a second time; the first is in ")
    assert "line 1" in problem.hint


@pytest.mark.parametrize("text", ["a: {b: }", "a:\n  - x\n  -\n"])
def test_an_empty_value_is_noted(text: str) -> None:
    """A value left out is not the same as none needed."""
    assert "has no value" in str(read_document(text, "f").problems[0])


def test_an_empty_section_counts_as_absent() -> None:
    """The heading of a section may stand there before its first entry."""
    document = read_document("a: 1\nlogic:\n", "f")
    expected: dict[str, Any] = {"a": "1"}
    assert document.tree == expected and not document.problems
