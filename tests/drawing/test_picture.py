"""What the SVG carries for pages, paper and those who cannot see it."""

import re
from dataclasses import replace
from xml.etree import ElementTree

from loomwise.drawing import Caption, Marks, View, draw, looks_of
from tests.drawing.geometry import read
from tests.drawing.sheets import drawn, lamp, sheet_of


def test_the_same_bytes_every_time() -> None:
    """A drawing made twice is the same file, so that reports can be compared."""
    assert drawn(sheet_of("horn"), "voltage") == drawn(sheet_of("horn"), "voltage")


def test_it_can_be_read_aloud() -> None:
    """There is a title, a description, and words for every wire."""
    svg = drawn(sheet_of("lamp"))
    root = ElementTree.fromstring(svg)
    assert [child.text for child in root[:2]] == ["One lamp", "at rest"]
    assert "<title>S1.2 to E1.1: GN 1.5 mm², 2 m; loom</title>" in svg


def test_paper_has_the_font() -> None:
    """The first font is the one that ships with the PDF library: another would fit less well."""
    assert 'font-family="DejaVu Sans Mono,' in drawn(sheet_of("lamp"))


def test_pages_may_refuse_scripts_and_styles() -> None:
    """Nothing in the drawing needs a script, a style sheet or another file."""
    svg = drawn(sheet_of("lamp"))
    assert not re.search(r"<script|<style|style=|href|url\(", svg)


def test_every_place_wire_and_part_can_be_tapped() -> None:
    """Each pin, each side of a contact, each wire and each part has an area a finger hits."""
    circuit = lamp()
    svg = drawn(sheet_of("lamp"))
    for place in circuit.places:
        if circuit.places[place].owner != "BAT" or place in ("BAT.+", "BAT.-"):
            assert f'data-place="{place}"' in svg
    for segment in circuit.segments.values():
        if segment.kind != "contact":
            assert re.search(rf'<rect [^>]*data-wire="{re.escape(segment.id)}"', svg)
    for part in circuit.parts:
        assert re.search(rf'<rect [^>]*data-part="{part}"', svg)


def test_what_is_tapped_is_large_enough() -> None:
    """No hit area of a place or wire is narrower or lower than 14 px."""
    hits = re.findall(
        r'<rect x="\S+" y="\S+" width="(\S+)" height="(\S+)" data-(?:place|wire)',
        drawn(sheet_of("headlamps")),
    )
    assert hits and all(min(float(w), float(h)) >= 14 for w, h in hits)


def test_words_of_the_file_stay_words() -> None:
    """A title with signs that mean something in XML is shown, not obeyed."""
    circuit = replace(lamp(), title='Lamp <b> & "horn"')
    svg = draw(sheet_of("lamp"), View(), Caption(circuit.title))
    assert ElementTree.fromstring(svg)[0].text == circuit.title


def test_what_stands_on_it() -> None:
    """Pins, colour and size of wires, connector and cavity, ids, values and units are lettered."""
    words = {text for text, _ in read(drawn(sheet_of("lamp"))).texts}
    assert {"F1", "10 A", "fuse box", "C1.1", "RDWH 1.5", "BK 16", "E1", "21 W", "S1"} <= words


def test_a_switch_is_drawn_as_it_stands() -> None:
    """The arm of the switch closes when the light is on; a blown fuse and a fuse out differ too."""
    circuit, sheet = lamp(), sheet_of("lamp")

    def part(controls: dict[str, str], states: dict[str, str], out: tuple[str, ...]) -> list[str]:
        looks = looks_of(circuit, controls, states, out)
        svg = draw(sheet, View(), Caption("x", (), looks))
        return re.findall(r'<g class="part" data-part="(?:S1|F1)"[^>]*>.*?</g>', svg, re.DOTALL)

    fuse, switch = part({}, {}, ())
    assert part({"light": "on"}, {}, ())[1] != switch
    assert part({}, {"F1": "blown"}, ())[0] != fuse
    assert "stroke-dasharray" in part({}, {}, ("F1",))[0]


def test_a_plug_apart_is_drawn_apart() -> None:
    """A connector that is parted shows its contacts parted."""
    circuit, sheet = lamp(), sheet_of("lamp")
    mated = draw(sheet, View(), Caption("x", (), looks_of(circuit, {}, {})))
    apart = draw(sheet, View(), Caption("x", (), looks_of(circuit, {}, {}, ("C1",))))
    contact = re.compile(r'<g class="contact" data-contact="C1.1">.*?</g>', re.DOTALL)
    assert contact.findall(mated) != contact.findall(apart)


def test_the_fault_and_the_probes_are_marked() -> None:
    """A band lies under the faulty wire, a badge leads to it, and each probe has its letter."""
    plain = drawn(sheet_of("lamp"))
    marked = drawn(sheet_of("lamp"), marks=Marks((("S1.2-E1.1",),), (("E1.1", "R1"),)))
    assert plain.count('class="badge"') == 0 and marked.count('class="badge"') == 2
    assert ">R1</text>" in marked and '<g class="bands"><path' in marked


def test_what_a_ground_point_is_in() -> None:
    """A ground point that is not on the body says in which metal it is."""
    svg = drawn(sheet_of("starting-charging"))
    assert ">engine<" in svg and ">frame<" in svg and ">body<" not in svg


def test_both_powers_of_a_two_filament_lamp() -> None:
    """A lamp of two filaments is lettered with both."""
    assert ">21/5 W<" in drawn(sheet_of("trailer-lights"))
