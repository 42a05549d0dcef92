from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.schema import circuit_schema
from loomwise.shelf import shelf_names, shelf_text
from tests.circuit.samples import SMALL, changed

SCHEMA = circuit_schema()


def _check(text: str) -> None:
    loaded: Any = YAML(typ="safe", pure=True).load(text)
    jsonschema.validate(loaded, SCHEMA, cls=jsonschema.Draft202012Validator)


def test_the_schema_is_a_schema() -> None:
    """Editors that know JSON Schema can use it."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["title"] == "Loomwise circuit file, format 1"


@pytest.mark.parametrize("text", [SMALL, *map(shelf_text, shelf_names())])
def test_sound_files_agree_with_it(text: str) -> None:
    """What our reader takes, an editor does not underline."""
    _check(text)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: One lamp\n", ""),
        ("kind: relay", "kind: realy"),
        ("rating: 10 A, ", ""),
        ("contact: NO", "contact: maybe"),
        ("price: 300", "prize: 300"),
        ("wires:", "wirs:"),
        ("rating: 10 A", "rating: [10]"),
        ("cavities: 2", "cavities: 2, access: by hand"),
    ],
)
def test_slips_are_underlined(old: str, new: str) -> None:
    """An editor shows a slip before the file is ever read."""
    with pytest.raises(jsonschema.ValidationError):
        _check(changed((old, new)))


def test_every_value_of_every_kind_is_described() -> None:
    """The schema tells what each figure of each part kind means."""
    text = str(SCHEMA)
    for kind in kinds().values():
        for value in kind.values:
            assert value.meaning in text, (kind.name, value.name)
