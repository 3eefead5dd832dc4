"""The site's own measures (what its tin, bucket or pace holds) and the sizes in which it makes its practices.

Kept in the notebook and never exchanged: a tin of one site is none of another's. Its one rule: nothing is guessed;
a measure is there once it was measured, a size once somebody kept it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.numbers import kept_number
from fieldbook.practices.scaled import kept_size
from fieldbook.quantities.measures import BASE_UNITS, LocalMeasure
from fieldbook.quantities.reading import Input, number, read_inputs
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from fieldbook.notebook import Record
    from fieldbook.practices.scaled import Scaled
    from fieldbook.site import Site

KIND: Final = "local-measure"
SIZE_KIND: Final = "size"
MEASURES_MOST: Final = 30
SIZES_MOST: Final = 12
MEASURE_INPUTS: Final = (
    Input("name", "", "What it is called here", "tin, bucket of dry droppings, pace", kind="text"),
    Input(
        "kind",
        "",
        "What it measures",
        "of the three",
        kind="choice",
        choices=("volume", "mass", "length"),
        says=("litres: it is filled", "weight: it was weighed full of that one thing", "length: a pace, a span"),
    ),
    Input("holds", "", "It holds", "in mL, g or mm, as you measured", most=1_000_000, above=True),
)


@dataclass(frozen=True)
class KeptSize:
    """A size in which this site makes a practice: what of the edition is compared, and how much of it there is here."""

    number: int
    edition: str
    base: str
    amount: Decimal
    unit: str

    def as_document(self) -> dict[str, Any]:
        """As it is kept with a practice that was begun in this size, to recompute by."""
        return {"base": self.base, "amount": kept_number(self.amount), "unit": self.unit}


class SumBook:
    """What a site has measured for its sums, and the sizes that it kept."""

    def __init__(self, site: Site) -> None:
        """Take the open site."""
        self._notebook = site.notebook

    def measures(self) -> tuple[LocalMeasure, ...]:
        """The measures of this site, the first that was noted first."""
        return tuple(_measure(record) for record in self._notebook.records(KIND))

    def measure(self, number_of_it: int) -> LocalMeasure | None:
        """One measure, or None where it is gone."""
        record = self._notebook.record(KIND, number_of_it)
        return None if record is None else _measure(record)

    def add_measure(self, given: object) -> LocalMeasure:
        """Note what one holds.

        Args:
            given: its name, kind and what it holds, as JSON.

        Raises:
            QuantityError: something of it is missing or out of range.
            SiteError: there is one of that name, or there are too many.
        """
        read = read_inputs(MEASURE_INPUTS, given, plain=True)
        name = " ".join(str(read["name"]).split())
        known = self.measures()
        if any(one.name.casefold() == name.casefold() for one in known):
            raise SiteError(
                f"there is already a measure called {name}", hint="choose another name, or remove that one first"
            )
        if len(known) >= MEASURES_MOST:
            raise SiteError(f"there are {MEASURES_MOST} measures already", hint="remove one that nobody uses")
        document = {"name": name, "kind": read["kind"], "holds": number(read["holds"])}
        return _measure(self._notebook.add_record(KIND, document))

    def remove_measure(self, number_of_it: int) -> None:
        """Forget one; nothing where it is gone already."""
        record = self._notebook.record(KIND, number_of_it)
        if record is not None:
            self._notebook.remove_record(record)

    def sizes(self, edition: str) -> tuple[KeptSize, ...]:
        """The sizes that were kept for an edition, oldest first.

        Raises:
            ScalingError: one of them cannot be read.
        """
        return tuple(
            KeptSize(record.number, edition, *kept_size(record.document))
            for record in self._notebook.records(SIZE_KIND, about=edition)
        )

    def keep_size(self, edition: str, scaled: Scaled) -> KeptSize:
        """Keep a size for an edition; one that is kept already stays as it is.

        Raises:
            SiteError: too many are kept for it.
        """
        known = self.sizes(edition)
        base, amount, unit = kept_size(scaled.as_document())
        for one in known:
            if (one.base, one.amount, one.unit) == (base, amount, unit):
                return one
        if len(known) >= SIZES_MOST:
            raise SiteError(f"{SIZES_MOST} sizes are kept for this practice entry", hint="remove one that nobody uses")
        record = self._notebook.add_record(SIZE_KIND, scaled.as_document(), about=edition)
        return KeptSize(record.number, edition, base, amount, unit)

    def remove_size(self, number_of_it: int) -> None:
        """Forget a size; nothing where it is gone already."""
        record = self._notebook.record(SIZE_KIND, number_of_it)
        if record is not None:
            self._notebook.remove_record(record)


def _measure(record: Record) -> LocalMeasure:
    document = record.document
    kind = document["kind"] if document["kind"] in BASE_UNITS else "volume"
    return LocalMeasure(record.number, str(document["name"]), kind, Decimal(str(document["holds"])))
