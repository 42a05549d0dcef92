"""Making circuits ready and answering readings at 25, 150 and 600 parts, and the memory it takes.

Every size runs in a process of its own, so that its peak memory is its own, and is worked on after
complaints about six of its loads. Besides, the healthy circuit is brought to rest in every setup,
and what that takes stands for the growth of the solver. Seconds are those of the processor.
"""

import json
import statistics
import subprocess
import sys
from typing import Any

import numpy as np

from benchmarks.answer import job
from benchmarks.report import Report
from loomwise.advice.about import about
from loomwise.advice.expert import Expert
from loomwise.circuit.model import Circuit, Part
from loomwise.diagnosis.words import sign_chances
from loomwise.evidence import Sign
from loomwise.faults import Fault
from loomwise.setups import Setup, make_setup
from loomwise.solver.result import loads
from loomwise.study.play import draw_case
from loomwise.ways import Concern

NAME = "sizes"
SIZES = (25, 150, 600)
GROWTH = (25, 150, 600)
SEED = 1
JOBS, STEPS, SIGNS, TRIED, COMPLAINTS = 3, 3, 10, 60, 6

READY = f"""
import json, resource, time
from benchmarks.sizes import jobs, worked_on
from loomwise.advice.expert import make_expert
from loomwise.circuit.reader import read_circuit
from loomwise.generate import generate_circuit
circuit = read_circuit(generate_circuit({{parts}}, {SEED}), "generated.yaml")
rows, ready_s, answers_s = [], [], []
for concerned in worked_on(circuit):
    start = time.process_time()
    expert = make_expert(circuit, concerned=concerned)
    ready_s.append(time.process_time() - start)
    rows.append(len(expert.table))
    answers_s += jobs(expert)
peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(json.dumps([rows, ready_s, answers_s, peak_mb]))
"""
HEALTHY = f"""
import json, resource, time
from loomwise.advice.expert import all_setups, distinct
from loomwise.circuit.reader import read_circuit
from loomwise.generate import generate_circuit
from loomwise.solver.result import plant_of
circuit = read_circuit(generate_circuit({{parts}}, {SEED}), "generated.yaml")
plant = plant_of(circuit)
start = time.perf_counter()
setups = all_setups(circuit)
found = distinct(circuit, plant, setups)
took_s = time.perf_counter() - start
peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(json.dumps([plant.net.n, len(setups), len(found), took_s, peak_mb]))
"""


def run(report: Report) -> None:
    """One process for each size."""
    for parts in GROWTH:
        nodes, setups, found, took_s, _ = _alone(HEALTHY.format(parts=parts))
        where = f"{parts} parts, {nodes:.0f} nodes"
        what = f"{where}: healthy in {setups:.0f} setups ({found:.0f} differ)"
        report.add(NAME, what, took_s, "s")
    for parts in SIZES:
        rows, ready_s, answers_s, peak_mb = _alone(READY.format(parts=parts))
        report.add(NAME, f"{parts} parts: hypotheses, most", max(rows), "")
        report.add(NAME, f"{parts} parts: made ready, median", statistics.median(ready_s), "s")
        report.add(NAME, f"{parts} parts: made ready, worst of {len(rows)}", max(ready_s), "s")
        report.add(NAME, f"{parts} parts: answer, median", 1e3 * statistics.median(answers_s), "ms")
        report.add(NAME, f"{parts} parts: answer, worst", 1e3 * max(answers_s), "ms")
        report.add(NAME, f"{parts} parts: peak memory", peak_mb, "MB")
    report.note("an answer is rank, verdict and next; the first job of each size is not counted")


def worked_on(circuit: Circuit) -> list[Concern | None]:
    """What complaints about some of the loads concern: nothing is left out of small circuits."""
    some = loads(circuit)[:: max(1, len(loads(circuit)) // COMPLAINTS)]
    signs = [Sign("S1", make_setup(circuit, {}), part.id, "") for part in some]
    return list(dict.fromkeys(about(circuit, [sign]) for sign in signs))


def _alone(program: str) -> Any:
    got = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    return json.loads(got.stdout)


def jobs(expert: Expert) -> list[float]:
    """Seconds that each answer takes in a few jobs after the first."""
    cases, taken = _some_with_sign(expert), list[float]()
    for seed in range(JOBS):
        world, complaint = draw_case(expert, cases, np.random.default_rng([9, seed]))
        first = [
            world.sign(f"S{k}", complaint, part.id) for k, part in enumerate(_watched(expert), 1)
        ]
        timed = [seconds for _, seconds in job(expert, world, list(first), STEPS)]
        both = [sum(timed[k : k + 2]) for k in range(0, len(timed), 2)]
        taken += both if seed else []
    return taken


def _watched(expert: Expert) -> list[Part]:
    """Some of the loads it is about."""
    return [part for part in loads(expert.circuit) if expert.concerns(part.id)][:SIGNS]


def _some_with_sign(expert: Expert) -> tuple[tuple[Fault, Setup], ...]:
    """A few faults, each with the first setup in which a load shows it."""
    rows = np.random.default_rng(3).choice(len(expert.table) - 1, TRIED, replace=False) + 1
    rows, found = np.concatenate([[0], rows]), dict[int, Setup]()
    for setup in expert.states:
        for part in _watched(expert):
            word = sign_chances(expert.table, rows, setup, part.id).argmax(axis=1)
            for k in np.flatnonzero(word != word[0]).tolist():
                found.setdefault(int(rows[k]), setup)
    return tuple((expert.table.fault(h), found[h]) for h in sorted(found))
