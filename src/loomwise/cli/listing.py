"""Commands listed with what they do in whole words: Typer alone cuts the line off with dots."""

import re
from typing import Any

from typer.core import TyperGroup


class Listed(TyperGroup):
    """A group whose commands say what they do up to the first colon; their own help says all."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write a row for each command, folded where the terminal is narrow."""
        found = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        rows = [(name, _gist(c.help or "")) for name, c in found if c is not None and not c.hidden]
        with formatter.section("Commands"):
            formatter.write_dl(rows)


def _gist(text: str) -> str:
    first = " ".join(text.split("\n\n")[0].split())
    return f"{re.split('[:;]', first)[0].rstrip('.')}."
