"""Thinking ahead while a test is being made: what its likely answers would say is worked out
before they come, so that the answer waits for nothing but itself."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from loomwise.advice.ahead import weighed_once
from loomwise.advice.endings import Bench
from loomwise.advice.expert import Expert
from loomwise.advice.proposal import Outcome, Proposal
from loomwise.evidence import Evidence, Reading, Sign

LIKELY = 0.1
"""Answers of less chance are not thought through ahead. [-]"""


def thoughts(
    expert: Expert, evidence: Sequence[Evidence], tests: Sequence[Proposal], bench: Bench
) -> Iterator[Evidence]:
    """Think through the likely answers to some tests, the first test's first and with what to test
    after them, and give each answer that is done with. What was solved stays with the expert:
    nothing else comes of it."""
    for number, test in enumerate(tests):
        for outcome in sorted(test.outcomes, key=lambda o: -o.chance):
            if outcome.chance > LIKELY:
                answer = as_evidence(test, outcome)
                ranking = expert.judge.rank([*evidence, answer])
                yield answer
                if number == 0:
                    then = replace(bench, here=test.setup)
                    weighed_once(expert, [*evidence, answer], ranking, then)
                    yield answer


def as_evidence(p: Proposal, outcome: Outcome) -> Evidence:
    """An outcome of a test as if it had been seen or read."""
    typical = outcome.typical
    if p.instrument in ("sign", "scan tool"):
        return Sign("ahead", p.setup, p.red, str(typical))
    value, word = (None, typical) if isinstance(typical, str) else (typical, "")
    return Reading("ahead", p.setup, p.instrument, p.red, p.black, value, word, p.method)
