"""What the workshop says of itself on its papers, and how it charges."""

from dataclasses import dataclass

from loomwise.report.document import Heading

ROLES = ("Technician", "Customer")


@dataclass(frozen=True)
class Shop:
    """The heading, who signs, and what price lines need: a currency, the price of an hour (that
    of the circuit file if None) and the tax on all of it as a share (None: none is shown)."""

    heading: Heading | None = None
    roles: tuple[str, ...] = ROLES
    currency: str = ""
    labour_per_hour: float | None = None
    tax_share: float | None = None


NO_SHOP = Shop()
