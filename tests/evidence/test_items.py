import math
from dataclasses import replace

import pytest

from loomwise.errors import EvidenceError
from loomwise.evidence import Reading, Sign, checked_reading, checked_sign
from loomwise.evidence.items import look_kind, sign_words
from loomwise.setups import parse_setup
from loomwise.shelf import read_shelf

FANS = read_shelf("radiator-fans")
SETUP = parse_setup(FANS, "key=run, AC=on")
GOOD = Reading("r1", SETUP, "voltmeter", "C1.1.a", "BAT.-", 12.5)


@pytest.mark.parametrize(
    "reading",
    [
        GOOD,
        replace(GOOD, value=None, word="wandering"),
        replace(GOOD, black="body", value=-0.2),
        replace(GOOD, instrument="test lamp", value=None, word="dim"),
        replace(GOOD, instrument="ohmmeter", value=1e6),
        Reading("r2", SETUP, "look", "F1", word="blown"),
        Reading("r3", SETUP, "look", "C1.1", word="burnt or loose"),
        Reading("r4", SETUP, "clamp", "C1.1.b-C3.1.a", value=11.0),
    ],
)
def test_a_reading_that_can_be_is_taken_as_it_is(reading: Reading) -> None:
    """What a meter, lamp, clamp or eye can say is kept unchanged."""
    assert checked_reading(FANS, reading) is reading


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        (replace(GOOD, instrument="voltmetre"), "no instrument 'voltmetre'; use voltmeter"),
        (replace(GOOD, method="by ear"), "no method 'by ear'; use post, open"),
        (replace(GOOD, red="C1.9.a"), "no place 'C1.9.a'; C1 has C1.1.a"),
        (replace(GOOD, black="earth"), "no place 'earth'; places are written F1.2 or C1.3.a; "),
        (replace(GOOD, red="BAT.-"), "both tips at BAT.-; name two places"),
        (replace(GOOD, value=math.nan), "nan cannot be a voltmeter's value"),
        (replace(GOOD, value=math.inf), "inf cannot be a voltmeter's value"),
        (replace(GOOD, value=12500.0), "check the unit"),
        (replace(GOOD, value=None), "'' is no answer of a voltmeter; say wandering"),
        (replace(GOOD, instrument="test lamp"), "a test lamp gives no number; say dark"),
        (replace(GOOD, instrument="test lamp", value=None, word="green"), "'green' is no answer"),
        (Reading("r2", SETUP, "look", "M1", word="good"), "nothing to look at: M1"),
        (Reading("r2", SETUP, "look", "F1", word="good"), "say intact, blown, missing"),
        (Reading("r2", SETUP, "clamp", "M1", value=2.0), "no conductor M1 to clamp"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(reading: Reading, says: str) -> None:
    """A slip of the pen is caught at entry: what, at which reading, and what would be right."""
    with pytest.raises(EvidenceError) as caught:
        checked_reading(FANS, reading)
    assert says in str(caught.value)
    assert caught.value.where == reading.id


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("M1", ("off", "slow", "normal", "fast", "on and off")),
        ("K1", ("pulled", "released", "chatters")),
        ("A1", ("answers", "no answer")),
        ("A1.AC", ("on", "off", "no answer")),
        ("A1.OUT1", ("off", "on", "no answer")),
        ("F1", ()),
        ("A1.15", ()),
    ],
)
def test_what_can_be_said_of_a_thing(what: str, words: tuple[str, ...]) -> None:
    """A motor turns or not, a relay clicks, a module answers; a fuse alone says nothing."""
    assert sign_words(FANS, what) == words


def test_a_sign_in_other_words_is_refused() -> None:
    """ "Bright" is no word for a motor: the words that are, are named."""
    sign = Sign("s1", SETUP, "M1", "bright")
    with pytest.raises(EvidenceError, match=r"'bright'; say one of: off, .*, 'on and off'"):
        checked_sign(FANS, sign, sign_words(FANS, "M1"))
    with pytest.raises(EvidenceError, match="signs come from K1, K2, K3, M1, M2"):
        checked_sign(FANS, replace(sign, what="F1"), sign_words(FANS, "F1"))
    good = replace(sign, seen="off")
    assert checked_sign(FANS, good, sign_words(FANS, "M1")) is good


def test_a_pierced_wire_is_missed_more_often_than_a_post() -> None:
    """How the probe gets there says how often it misses."""
    assert GOOD.missed > replace(GOOD, method="post").missed
    assert replace(GOOD, method="sealed").missed > GOOD.missed


def test_where_there_is_something_to_look_at() -> None:
    """Fuses, contacts and grounds can be looked at, motors and wires tell nothing."""
    assert [look_kind(FANS, t) for t in ("F1", "C1.1", "G1", "M1", "C1.1.b-C3.1.a", "X9")] == [
        "fuse", "contact", "ground", "", "", "",
    ]  # fmt: skip
