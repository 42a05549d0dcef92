"""Symbols moved on the drawing of a stored job: an entry each, and each can be taken back."""

from loomwise.errors import InputError
from loomwise.job.log import fold
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases.move import Move, with_move
from loomwise.usecases.stored import job_of


def move_symbol(store: Store, number: int, move: Move, uid: str = "") -> int:
    """Keep where a symbol was moved to; how many entries were new.

    Raises
    ------
    InputError : it cannot stand there, see ``with_move``; the job has no circuit.
    NotFoundError : no such job.
    """
    folded = fold(store.log(number))
    if any(m["uid"] == uid for m in folded.moves):
        return 0  # it has come before
    with_move(job_of(store, number, folded).circuit, move)
    body = {"part": move.part, "spot": None if move.spot is None else list(move.spot)}
    return store.append(number, new_entry("move", body, uid))


def undo_move(store: Store, number: int, uid: str = "") -> str:
    """Take back the last move that counts; the part it moved.

    Raises
    ------
    InputError : nothing was moved.
    """
    log = store.log(number)
    sent = next((e for e in log if uid and e.uid == uid), None)
    moves = fold(log).moves
    if sent is not None:
        return next(str(m["part"]) for m in moves if m["uid"] == sent.body["entry"])
    last = next((m for m in reversed(moves) if not m["withdrawn"]), None)
    if last is None:
        raise InputError("no symbol was moved", f"job {number}", "drag one on the drawing")
    body = {"entry": last["uid"], "reason": "moved back"}
    store.append(number, new_entry("withdraw", body, uid))
    return str(last["part"])
