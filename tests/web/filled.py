"""A shop in which no page is empty, for the eye and for axe."""

from loomwise.store import Store
from loomwise.usecases import closing, practise, road_test, stored
from loomwise.usecases.heading import keep_shop
from loomwise.usecases.practice_words import Asked as Asking
from loomwise.usecases.record_file import keep_live, match_live
from loomwise.usecases.record_match import Asked
from tests.store.shop import horn_job
from tests.store.test_archive import picture

DRIVE = (
    "time;A/C request;Coolant temperature;Road speed\n"
    "0;off;1,1;0\n1;off;1,0;12\n2;on;0,9;20\n30;on;0,9;22\n31;on;0,9\n"
)


def full_job(store: Store) -> int:
    """A job with something of everything on its bench."""
    number = horn_job(store)
    stored.stand(store, number, {"undone": ["C1 apart"], "condition": "wet"})
    stored.enter(store, number, "reading", {"red": "C1.3.a", "value": "12.1 V"})
    stored.withdraw(store, number, "R1", "the clip had come off")
    stored.rule_out(store, number, "clamp")
    return number


def filled_shop(store: Store) -> dict[str, str]:
    """Jobs and practices at every point of their way, by what the pages call them."""
    fans, csv = _fans(store)
    told = {"name": "Fjell & Son, vehicle electrics", "lines": ["Quay Road 12", "4000 Norhavn"]}
    keep_shop(store, told, picture())
    return {
        "fans": str(fans),
        "csv": csv,
        "road": str(_road(store)),
        **_ends(store),
        **_practices(store),
    }


def _fans(store: Store) -> tuple[int, str]:
    number = stored.new_job(store, {"complaint": "The fan stays off", "vehicle": "Norvik T4"})
    stored.choose_circuit(store, number, "radiator-fans")
    (m,) = stored.stored_job(store, number).circuit.parts_of_kind("module")
    digest = keep_live(store, number, "drive to the quay.csv", DRIVE.encode())
    names = {"A/C request": f"{m.id}.AC", "Coolant temperature": f"{m.id}.T1"}
    match_live(store, number, Asked("time", names, {"Coolant temperature": {"below 1": "warm"}}))
    return number, digest


def _road(store: Store) -> int:
    """A job with a road test, one mark of which was taken back."""
    number = horn_job(store)
    for k, (what, held) in enumerate((("off", ()), ("now", ("warm", "bumps")), ("gone", ()))):
        at = f"2026-03-01T14:0{5 + k}:10+01:00"
        road_test.mark(store, number, what, at, held,
                       "after the bridge" if held else "", f"r{k}")  # fmt: skip
    road_test.take_back(store, number, "r2", back=False)
    return number


def _ends(store: Store) -> dict[str, str]:
    """A job that is repaired with part of its proof made, and one that is closed."""
    ended, closed = horn_job(store), horn_job(store)
    stored.decide_on(store, ended, "wire BAT.+-F4.1", "no volts behind it")
    closing.repair(store, ended, "horn", "New horn, plug C3 cleaned")
    first = closing.end_of(store, ended).checks[0]
    closing.answer(store, ended, [f"{first['id']}={first['word'] or first['low']}"])
    stored.stand(store, closed, {"undone": [], "opened": []})
    closing.close(store, closed, "The customer needs the vehicle; the horn is on order")
    return {"ended": str(ended), "closed": str(closed)}


def _practices(store: Store) -> dict[str, str]:
    """A practice that goes on, and one that is decided."""
    found = []
    for seed in (1, 2):
        number = practise.start(store, "horn", "easy", seed, "Kim").number
        for words in ("watch H1", "volts F4.1", "volts K1.86"):
            practise.ask(store, number, Asking(words, "horn=pressed"))
        found.append(number)
    practise.decide(store, found[1], "horn")
    return {"practice": str(found[0]), "decided": str(found[1])}
