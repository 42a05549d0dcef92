"""Every instrument that answers with a number, as hypotheses predict it."""

from collections.abc import Callable

from loomwise.diagnosis import predict
from loomwise.diagnosis.predict import Numbers, ohms, probe_nodes, volts
from loomwise.diagnosis.table import Table
from loomwise.diagnosis.waves import duty, ripple
from loomwise.evidence import Reading
from loomwise.setups import Setup
from loomwise.solver.network import Ints

AT_TIPS: dict[str, Callable[[Table, Setup, Ints, Ints], Numbers]] = {
    "voltmeter": volts, "ohmmeter": ohms, "ripple meter": ripple, "duty meter": duty,
}  # fmt: skip
"""What each shows between two tips, by table, setup, rows (f,) and probes (p, 2)."""


WAVES = {"ripple meter": 1.0, "duty meter": 0.01}
"""Density of a reading that could be anything: up to 1 V, up to 100 %. Engineering judgement."""


def reading_numbers(table: Table, rows: Ints, reading: Reading) -> Numbers:
    """Prediction of a reading that is a number (one probe)."""
    if reading.instrument not in AT_TIPS:
        return predict.reading_numbers(table, rows, reading)
    probes = probe_nodes(table, [(reading.red, reading.black)])
    return AT_TIPS[reading.instrument](table, reading.setup, rows, probes)
