"""Reads the forms of a page as a browser without scripts would."""

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class FormSeen:
    """One form: where it goes, what it would send, and the values of its buttons."""

    action: str
    id: str
    classes: list[str]
    fields: dict[str, str] = field(default_factory=dict)
    buttons: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[FormSeen] = []
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {k: v or "" for k, v in attrs}
        if tag == "form":
            self.found.append(
                FormSeen(told.get("action", ""), told.get("id", ""), told.get("class", "").split())
            )
        if not self.found:
            return
        form = self.found[-1]
        if tag == "input" and told.get("name"):
            form.fields[told["name"]] = told.get("value", "")
        elif tag == "select":
            self.select = told["name"]
        elif tag == "option" and (self.select not in form.fields or "selected" in told):
            form.fields[self.select] = told.get("value", "V")
        elif tag == "button" and told.get("name") == "value":
            form.buttons.append(told["value"])


def forms(page: str) -> list[FormSeen]:
    """Every form of a page."""
    reader = _Reader()
    reader.feed(page)
    return reader.found


def fill(form: FormSeen, **values: str) -> dict[str, str]:
    """What the form sends with some fields filled in."""
    return {**form.fields, **values}
