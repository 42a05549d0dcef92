"""A plan of tests for paper: a tree with a branch for each result of a test."""

from loomwise.advice.ahead import End, Step
from loomwise.advice.wording import minutes, percent
from loomwise.diagnosis.ranking import NOT_EXPLAINED, NOTHING_WRONG
from loomwise.report.document import Document, Facts, Heading, Plan, PlanStep, Words, section
from loomwise.report.words import pretty

DEEP = 12
"""With more tests behind each other the branches need the longer side of the page."""


def plan_document(
    root: Step | End,
    head: tuple[tuple[str, str], ...],
    verdict: str,
    heading: Heading | None = None,
) -> Document:
    """The plan as a document; ``head`` says what the job is about."""
    steps = tuple(_steps(root))
    about = (
        Words(
            "Begin with test 1. Do what stands behind 'first', test, and follow the branch of your"
            " result to the next test or to the end. Small behind a test: the time from there to"
            " the end on average, and the chance to come there. A result that is not listed was"
            " held to be next to impossible: take it again, and enter it if it stays. A star:"
            " more tests would pay there; enter what you have and ask again."
        ),
    )  # fmt: skip
    sections = (
        *section("The job", Facts(head)),
        *section("Where it stands", Words(pretty(verdict), "lead")),
        *section("Tests", *about, Plan(steps)),
    )
    title, foot = dict(head).get("Vehicle", ""), dict(head)["Circuit"]
    return Document("Test plan", title, heading, sections, foot, wide=_depth(root) > DEEP)


def _depth(node: Step | End) -> int:
    """Tests on the longest way."""
    return 1 + max(_depth(n) for _, n in node.results) if isinstance(node, Step) else 0


def _steps(root: Step | End) -> list[PlanStep]:
    """The tests, each branch told to its end before the next."""
    found: list[PlanStep] = []

    def told(step: Step) -> int:
        number = len(found) + 1
        found.append(PlanStep(number, "", "", "", ()))
        results = _joined([(text, *then(after)) for text, after in step.results])
        left, chance = minutes(step.minutes), percent(step.chance)
        aside = f"{left}, {chance}"
        found[number - 1] = PlanStep(
            number, pretty(step.title), ", then ".join(step.changes), aside, results
        )
        return number

    def then(after: Step | End) -> tuple[str, int]:
        if isinstance(after, End):
            return _end(after), 0
        number = told(after)
        return f"go on with test {number}", number

    if isinstance(root, Step):
        told(root)
    return found


def _end(end: End) -> str:
    """What to do where no test follows; a star where the plan was cut short."""
    star = " *" if end.cut else ""
    if end.title in (NOT_EXPLAINED, NOTHING_WRONG):
        return f"{end.title}: {percent(end.share)}{star}"
    return f"repair {pretty(end.title)}: {percent(end.share)} there{star}"


def _joined(results: list[tuple[str, str, int]]) -> tuple[tuple[str, str, int], ...]:
    """Results beside each other that lead to the same are one line."""
    found: list[tuple[str, str, int]] = []
    for text, after, number in results:
        if found and found[-1][1:] == (after, number):
            found[-1] = f"{found[-1][0]}; {text}", after, number
        else:
            found.append((text, after, number))
    return tuple(found)
