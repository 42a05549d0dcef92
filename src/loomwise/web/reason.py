"""Reasoning for the pages: in worker threads, one at a time for a circuit, once for each state.

Circuits stay ready while the server runs; a large one that is being made ready keeps nobody else
waiting. Of several who ask about a job that is being changed, only the newest state is worked out.
While nobody asks, the likely answers to the tests last shown are thought through.
"""

from collections import OrderedDict, defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock, get_ident
from typing import Any, TypeVar

from loomwise.job import Job
from loomwise.job.log import Folded, fold
from loomwise.store import Store
from loomwise.usecases.advise import Ranking, expect, ranking_of, suspects_of, tests_of, thoughts_of
from loomwise.usecases.how_told import LoadTold, tell
from loomwise.usecases.job_drawing import draw_job
from loomwise.usecases.repair_steps import RepairTold, repair_told
from loomwise.usecases.stored import job_of

KEPT = 200
DRAWING = "drawing"
"""Drawings are laid out by one engine, whatever the circuit."""
Kept = TypeVar("Kept")
Key = TypeVar("Key")


@dataclass(frozen=True)
class View:
    """A job as it stands after its ``newest`` entry; no ``job`` while it has no circuit."""

    number: int
    newest: int
    folded: Folded
    job: Job | None


class Turn:
    """What one at a time holds; ``wanted`` while somebody waits for it."""

    def __init__(self) -> None:
        self._lock, self._waiting = Lock(), set[int]()

    @property
    def wanted(self) -> bool:
        """Whether somebody waits."""
        return bool(self._waiting)

    def __enter__(self) -> None:
        self._waiting.add(get_ident())
        self._lock.acquire()
        self._waiting.discard(get_ident())

    def __exit__(self, *_: object) -> None:
        self._lock.release()


class Reasoner:
    """Answers about the jobs of a store."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._turns: defaultdict[str, Turn] = defaultdict(Turn)
        self._thinking = Lock()
        self._views: OrderedDict[tuple[int, int], View] = OrderedDict()
        self._rankings: OrderedDict[tuple[int, int], Ranking] = OrderedDict()
        self._advice: OrderedDict[tuple[int, int], dict[str, Any]] = OrderedDict()
        self._drawings: OrderedDict[tuple[int, int, str, str], str] = OrderedDict()
        self._repairs: OrderedDict[tuple[str, str], RepairTold] = OrderedDict()
        self._how: OrderedDict[str, list[LoadTold]] = OrderedDict()

    def view(self, number: int) -> View:
        """The job as it stands now.

        Raises
        ------
        NotFoundError : no such job.
        """
        newest = self.store.newest(number)
        return _kept(self._views, (number, newest), lambda: self._read(number, newest))

    def _read(self, number: int, newest: int) -> View:
        folded = fold(self.store.log(number))
        job = job_of(self.store, number, folded) if folded.circuit else None
        return View(number, newest, folded, job)

    def ready(self, view: View) -> dict[str, Any] | None:
        """The advice on a job, if it has been worked out already."""
        return self._advice.get((view.number, view.newest))

    def suspects(self, number: int) -> tuple[View, dict[str, Any]]:
        """Suspects, doubts and evidence as the job stands now: the quicker part of the advice."""
        with self._turn(self.view(number)):
            view, job = self._now(number)  # it may have moved on while we waited
            return view, suspects_of(job, self._ranking(view, job))

    def advice(self, number: int) -> tuple[View, dict[str, Any]]:
        """The whole advice on a job as it stands now, worked out if need be."""
        view = self.view(number)
        known = self.ready(view)
        if known is not None:
            return view, known
        with self._turn(view):
            view, job = self._now(number)
            ranking = self._ranking(view, job)
            key = view.number, view.newest
            return view, _kept(
                self._advice, key, lambda: suspects_of(job, ranking) | tests_of(job, ranking)
            )

    def think_ahead(self, number: int) -> None:
        """Think through what the tests of a job may answer, until somebody asks for something on
        its circuit or the job moves on; for one job at a time."""
        view = self.view(number)
        ranking = self._rankings.get((view.number, view.newest))
        if view.job is None or ranking is None or not self._thinking.acquire(blocking=False):
            return
        try:
            turn, thoughts = self._turn(view), thoughts_of(view.job, ranking)
            while not turn.wanted and self.store.newest(number) == view.newest:
                with turn:
                    if next(thoughts, None) is None:
                        return
        finally:
            self._thinking.release()

    def expect(self, view: View, red: str, black: str, instrument: str) -> dict[str, Any]:
        """What an instrument would show at a place now."""
        assert view.job is not None
        with self._turn(view):
            return expect(view.job, self._ranking(view, view.job), red, black, instrument)

    def repair(self, job: Job, unit: str) -> RepairTold:
        """How a unit is repaired; worked out once for a circuit."""
        with self.alone(job.circuit.digest):
            key = job.circuit.digest, unit
            return _kept(self._repairs, key, lambda: repair_told(job.circuit, unit))

    def alone(self, digest: str) -> Turn:
        """What is held by others who reason about a circuit of this digest."""
        return self._turns[digest]

    def _turn(self, view: View) -> Turn:
        """What is held while a circuit is reasoned about."""
        assert view.job is not None
        return self._turns[view.job.circuit.digest]

    def _now(self, number: int) -> tuple[View, Job]:
        view = self.view(number)
        assert view.job is not None
        return view, view.job

    def _ranking(self, view: View, job: Job) -> Ranking:
        return _kept(self._rankings, (view.number, view.newest), lambda: ranking_of(job))

    def drawing(self, view: View, look: str, load: str) -> str:
        """The drawing of a job as it stands, as SVG."""
        assert view.job is not None
        job, key = view.job, (view.number, view.newest, look, load)
        with self._turns[DRAWING]:
            return _kept(self._drawings, key, lambda: draw_job(job, look, load))

    def how(self, job: Job) -> list[LoadTold]:
        """How a job's circuit works."""
        with self._turns[job.circuit.digest]:
            return _kept(self._how, job.circuit.digest, lambda: tell(job))


def _kept(memory: OrderedDict[Key, Kept], key: Key, make: Callable[[], Kept]) -> Kept:
    """What is kept under the key, made if it is not there; the oldest go first."""
    found = memory.get(key)
    if found is None:
        found = memory[key] = make()
        while len(memory) > KEPT:
            memory.popitem(last=False)
    return found
