"""Live data from elsewhere: whatever a program wrote, nothing of it is lost without a word."""

import pytest

from loomwise.circuit.model import Band
from loomwise.errors import FileError
from loomwise.records import read_record, read_words

LONG = "time,name,value\n0,Fan,off\n1,Fan,on\n1,Coolant,61\n"


def test_a_long_and_a_wide_table_mean_the_same() -> None:
    """Whether names stand in a column or each has its own, the values by time are the same."""
    wide = "Time [s];Fan;Coolant\n0;off;\n1;on;61\n"
    a, b = read_record(LONG, "a.csv"), read_record(wide, "b.csv")
    assert a.series == b.series
    assert a.series["Fan"] == ((0.0, "off"), (1.0, "on"))
    assert (a.empty, b.empty) == (0, 1)


@pytest.mark.parametrize(
    "text",
    [
        "time;MAP [V]\n10,0;1,5\n10,5;1,7\n",
        'time,MAP [V]\n"10,0","1,5"\n"10,5","1,7"\n',
        "\ufefftime\tMAP [V]\r\n10.0\t1,5\r\n\r\n10.5\t1,7\r\n",
        "time_ms;MAP [V]\n10000;1,5\n10500;1,7\n",
        "Clock;MAP [V]\n00:00:10,0;1,5\n00:00:10,5;1,7\n",
        "timestamp;MAP [V]\n2026-03-01T08:00:10;1,5\n2026-03-01T08:00:10.500;1,7\n",
        "time;MAP [V]\ns;V\n10;1,5\n10,5;1,7\n",
        "t;MAP [V];T coolant\n10;1,5;\n10,5;1,7;\n",
    ],
)
def test_times_and_numbers_as_programs_write_them(text: str) -> None:
    """Decimal commas, a byte-order mark, milliseconds, clocks, dates, a line of units."""
    record = read_record(text, "x.csv")
    assert not record.unread
    assert record.series["MAP [V]"] == ((0.0, "1,5"), (0.5, "1,7"))
    assert record.units == {"MAP [V]": "V"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file is empty"),
        ("just words\n", "only one column"),
        ("0,Fan,off\n1,Fan,on\n", "the columns have no names"),
        ("a,b\n1,2\n", "no column looks like a time"),
        ("time,timestamp,Fan\n0,0,on\n", "2 columns look like times: 'time' and 'timestamp'"),
        ("time,Fan\nx,on\ny,off\n", "'y' is no time"),
        ("time,name,value\n0,5,Fan,12,4\n", "is it a decimal comma?"),
        ("time,Fan\n\0,on\n", "not text"),
    ],
)
def test_what_cannot_be_read_is_said(text: str, said: str) -> None:
    """A file that is no record is refused with its line and what would be right."""
    with pytest.raises(FileError) as caught:
        read_record(text, "x.csv")
    assert said in str(caught.value)


def test_of_two_time_columns_one_is_named() -> None:
    """Who says which column counts gets it; a column that there is not is said."""
    text = "time,timestamp,Fan\n0,100,on\n2,107,off\n"
    assert read_record(text, "x.csv", "timestamp").seconds == 7.0
    with pytest.raises(FileError, match="there is no column 'when'"):
        read_record(text, "x.csv", "when")


def test_lines_left_out_are_told() -> None:
    """A torn line and one without a time are told by their numbers; the others count."""
    text = "time;Fan\n0;off\n1\n?;on\n2;on\n"
    record = read_record(text, "x.csv")
    assert [p.line for p in record.unread] == [3, 4]
    assert len(record.series["Fan"]) == 2


def test_a_pause_is_a_gap() -> None:
    """Where nothing came for far longer than usual, that is told."""
    times = [*range(10), 30, 31]
    text = "time,Fan\n" + "".join(f"{t},on\n" for t in times)
    assert read_record(text, "x.csv").gaps == ((9.0, 30.0),)


def test_values_become_the_words_of_a_sign() -> None:
    """By word whatever the case, by 1 and 0, by what was told, and by an input's volts."""
    words, bands = ("on", "off", "no answer"), (Band("on", 1.5), Band("off", float("inf")))
    some = [(0.0, "ON"), (1.0, "1"), (2.0, "inactive"), (3.0, "N/A")]
    read = read_words(some, words)
    assert [c.word for c in read.changes] == ["on", "off", "no answer"]
    assert (read.steady, read.at(1.5), read.at(2.5), read.at(60.0)) == ("", "on", "off", "")
    assert read_words([(0.0, "0,8")], words, bands, in_volts=True).steady == "on"
    assert read_words([(0.0, "0,8")], words, bands).unread == ("0,8",)
    told = {"below 60": "cold", "below 90": "warm", "else": "hot"}
    temperatures = [(float(k), v) for k, v in enumerate(("12", "75,5", "104"))]
    warm = read_words(temperatures, ("cold", "warm", "hot"), told=told)
    assert [c.word for c in warm.changes] == ["cold", "warm", "hot"]
