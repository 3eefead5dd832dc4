"""The works we cite, by key.

What it is: one plain table; each line is a work, or the one table of it that is cited on its own. What it is not: the
figures themselves, which stand beside the rule or in the table that uses them.

Its one rule: `mark` says truly how far we saw the work: `read` (in the document itself), `secondary` (on a page or in
a package that quotes it), `computed` (by us, from the named form), `from memory` (not seen: never cited as read),
`common practice` (of the trade, no document).
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

Mark = Literal["read", "secondary", "computed", "from memory", "common practice"]


@dataclass(frozen=True, slots=True)
class Source:
    """One work, or one place in it.

    Attributes:
        key: What docstrings and tables call it.
        title: The work: body or authors, title, year.
        place: The table, chapter or page meant; empty where the whole work is meant.
        mark: How far we saw it.
    """

    key: str
    title: str
    place: str
    mark: Mark

    @property
    def words(self) -> str:
        """The work and the place in it, as a reader sees them."""
        return f"{self.title}, {self.place}" if self.place else self.title


_FAO56: Final = "FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes, Smith 1998)"
_MANUAL3: Final = "FAO Irrigation Water Management, Training manual no. 3"

_TABLE: Final[tuple[Source, ...]] = (
    Source("fao56", _FAO56, "", "read"),
    Source("fao56-eq6", _FAO56, "Eq 6 and the procedures for missing data", "read"),
    Source("fao56-eq52", _FAO56, "Eq 52", "read"),
    Source("fao56-table4", _FAO56, "Table 4", "read"),
    Source("fao56-table11", _FAO56, "Table 11", "read"),
    Source("fao56-table12", _FAO56, "Table 12", "read"),
    Source("fao56-table22", _FAO56, "Table 22", "read"),
    Source("fao56-annex2", _FAO56, "Annex 2, Tables 2.6 and 2.7", "secondary"),
    Source("manual3", _MANUAL3, "chapter 4", "read"),
    Source("ecocrop", "FAO Ecocrop, as carried by the package ecocrop 0.2.0", "", "read"),
    Source("growing-period", "our rule, after FAO World Soil Resources Report 48/1 (1978)", "", "secondary"),
    Source("ours", "our own choice, stated where it is used", "", "common practice"),
)

SOURCES: Final = MappingProxyType({source.key: source for source in _TABLE})
