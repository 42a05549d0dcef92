"""Commands that need no job."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import Json
from loomwise.cli.errors import answers

commands = typer.Typer()


@commands.command(
    epilog='Example: loomwise wire 12A 4m --drop "0.3 V" --bundle 6 --temperature "60 C"'
)
@answers
def wire(
    current: Annotated[
        str, typer.Argument(metavar="AMPS", help="Current for good.", show_default=False)
    ],
    length: Annotated[
        str,
        typer.Argument(
            metavar="LENGTH",
            help="All the wire it goes through, there and, where that is a wire too, back.",
            show_default=False,
        ),
    ],
    supply: Annotated[str, typer.Option(metavar="VOLTS", help="12, 24 or 48 V.")] = "12 V",
    drop: Annotated[
        str, typer.Option(metavar="SHARE", help="What may be lost: '3 %' or '0.3 V'.")
    ] = "3 %",
    size: Annotated[
        str, typer.Option(metavar="SIZE", help="Judge this wire: '2.5 mm2' or '14 AWG'.")
    ] = "",
    fuse: Annotated[str, typer.Option(metavar="AMPS", help="Judge this fuse on it.")] = "",
    bundle: Annotated[
        int, typer.Option(metavar="NUMBER", help="Wires together that carry current at once.")
    ] = 1,
    temperature: Annotated[
        str, typer.Option(metavar="DEGREES", help="Air around it; in an engine bay 80 C or more.")
    ] = "30 C",
    insulation: Annotated[
        str, typer.Option(metavar="DEGREES", help="What its insulation stands.")
    ] = "100 C",
    awg: Annotated[bool, typer.Option("--awg", help="Choose among American gauges.")] = False,
    as_json: Json = False,
) -> None:
    """Size a wire and its fuse for current, length, drop, bundle and heat, or judge a given wire.

    Exit 1 if no usual wire does it, or the given one does not.
    """
    from loomwise.cli.wire import Wanted, run

    wanted = Wanted(current, length, supply, drop, bundle, temperature, insulation, size, fuse, awg)
    run(wanted, as_json)


@commands.command(
    "standing-draw",
    epilog="Example: loomwise standing-draw --clamp '0.45 A after 45 min'"
    " --fuse 'F12 10 A 2.9 mV feeds radio' --fuse 'F3 15 A 0.1 mV' --battery '70 Ah'",
)
@answers
def standing_draw(
    file: Annotated[
        str | None,
        typer.Argument(
            metavar="FILE", help="Readings in YAML, or fuses in CSV.", show_default=False
        ),
    ] = None,
    clamp: Annotated[
        list[str] | None,
        typer.Option(
            metavar="READING",
            help="Whole current at the battery, '0.45 A after 40 min'. Repeatable, first first.",
        ),
    ] = None,
    fuse: Annotated[
        list[str] | None,
        typer.Option(
            metavar="READING",
            help="'F12 10 A 2.1 mV mini behind F1 feeds radio': rating, drop; the rest if you"
            " like. Repeatable.",
        ),
    ] = None,
    battery: Annotated[str, typer.Option(metavar="AH", help="Capacity, '70 Ah'.")] = "",
    charge: Annotated[str, typer.Option(metavar="SHARE", help="Its charge now, '80 %'.")] = "",
    allowed: Annotated[
        str, typer.Option(metavar="AMPS", help="What is usual asleep; 50 mA unless told.")
    ] = "",
    asleep: Annotated[
        str, typer.Option(metavar="MIN", help="How long it takes to sleep; 40 min unless told.")
    ] = "",
    as_json: Json = False,
) -> None:
    """Find what empties the battery: from clamp current and millivolts across fuses to the branch.

    Exit 1 if no branch can be named: not asleep yet, a draw past all fuses, readings at odds.
    """
    from loomwise.cli.standing_draw import Words, run

    words = Words(tuple(clamp or ()), tuple(fuse or ()), battery, charge, allowed, asleep)
    run(words, file or "", as_json)
