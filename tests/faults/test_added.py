"""Work added to a vehicle, declared when the job came in."""

import pytest

from loomwise.faults import Added, added_work, enumerate_faults, with_added
from loomwise.shelf import read_shelf
from loomwise.usecases.files import find_job
from loomwise.usecases.rank import rank_of


@pytest.mark.parametrize(
    ("words", "places"),
    [
        ("a bypass switch across S1", ("S1",)),
        ("30 A in F4, somebody's switch on K1.", ("F4", "K1")),
        ("tow bar tapped into BAT.+-F4.1", ("BAT.+-F4.1",)),
        ("spliced in at C3.2", ("C3.2.a-G2.1",)),
        ("", ()),
    ],
)
def test_what_a_declaration_names(words: str, places: tuple[str, ...]) -> None:
    """Parts, wires and cavities are found in the customer's words."""
    assert set(places) <= set(added_work(read_shelf("horn"), words).places)
    assert not added_work(read_shelf("horn"), words).anywhere


def test_without_a_place_it_may_be_anywhere() -> None:
    """ "A tow bar" names nothing in the circuit: added work is likelier everywhere."""
    circuit = read_shelf("horn")
    assert added_work(circuit, "a tow bar, years ago") == Added((), True)
    plain = enumerate_faults(circuit, {})
    raised = with_added(plain, Added((), True))
    assert sum(f.weight for f in raised) == pytest.approx(1.0)
    for before, after in zip(plain, raised, strict=True):
        likelier = after.weight > before.weight
        assert likelier == (before.mode in ("tapped", "bypassed", "wrong rating"))


def test_nothing_declared_changes_nothing() -> None:
    """With no word of added work the table's own weights hold."""
    faults = enumerate_faults(read_shelf("horn"), {})
    assert with_added(faults, Added()) == faults


JOB = """\
format: 1
complaint: The horn sounds by itself
vehicle: {name: Norvik T4}
circuit: horn
signs:
  - H1 sounds, horn=free, complaint yes
  - K1 released, horn=free, complaint yes
"""


def test_declared_work_leads_where_the_signs_allow_it(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """The horn sounds with its relay out: of bypass and other causes, the declared one gains."""
    file = tmp_path_factory.mktemp("job") / "job.yaml"
    shares = []
    for added in ("", "added: a switch across K1\n"):
        file.write_text(JOB + added, encoding="utf-8")
        answer = rank_of(find_job(str(file)))
        found = [f for u in answer["units"] for f in u["faults"] if f["title"].endswith("later")]
        shares.append(max((f["share"] for f in found), default=0.0))
    odds = [s / (1.0 - s) for s in shares]
    assert odds[1] > 5 * odds[0]
    assert "at K1" in answer["added"]
