"""A second drawing of a stored job's circuit: kept with the job, and weighed as a doubt."""

from collections.abc import Sequence

from loomwise.circuit.reader import read_circuit
from loomwise.errors import InputError
from loomwise.job.log import fold
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases.check_files import refuse_unsolvable
from loomwise.usecases.drawings import declared
from loomwise.usecases.stored import job_of


def keep_other(
    store: Store, number: int, word: str, text: str, differs: Sequence[str] = (), uid: str = ""
) -> int:
    """Keep another drawing, the ``text`` of a file called ``word``, or in words what it has
    otherwise; how many entries were new.

    Raises
    ------
    FileError : with everything wrong in the file.
    InputError : neither is said; words that name no difference; the circuit is shorted as drawn.
    """
    if not text and not differs:
        hint = "name its file, or say what it has otherwise"
        raise InputError("there is no other drawing", f"job {number}", hint)
    body: dict[str, object] = {"differs": list(differs)}
    if text:
        other = read_circuit(text, word)
        refuse_unsolvable(other, word)
        body |= {"name": word, "title": other.title, "digest": store.keep_circuit(word, text)}
    entry = new_entry("other", body, uid)
    declared(job_of(store, number, fold([*store.log(number), entry])))
    return store.append(number, entry)
