"""Our sentences in other languages: errors, refusals, reasons and hints, said again for who asks for another language.

What it is: the catalogue (``seed_entries/sentences/``) and the way from an English sentence, as it was raised, to the
same sentence in another language. What it is not: the words of pages and entries, nor a way to raise anything: code
says plain English where it raises, and knows nothing of this.

Its one rule: a sentence is found whole or not at all. What the catalogue does not hold is shown in English, and what
stood in the places of a sentence (names, numbers, files) stands in its translation unchanged.
"""

from __future__ import annotations

import csv
import io
import string
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from fieldbook.errors import FieldbookError
from fieldbook.languages import primary
from fieldbook.shipped import shipped_names, shipped_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

ENGLISH: Final = "english"  # the heading of the sentences as they are raised; every other heading is a language
FOLDER: Final = "seed_entries/sentences"
_JOINT: Final = "; "  # between several sentences told as one
_DEEPEST: Final = 4  # a sentence within a sentence within ...: none of ours goes deeper
_LONGEST_CHARACTERS: Final = 20_000  # a longer text is no sentence of ours


class SentencesError(FieldbookError):
    """A catalogue that cannot be used as it stands."""


@dataclass(frozen=True)
class Template:
    """A sentence with named places, such as ``there is no port {port}``; a brace itself is written twice.

    Attributes:
        literals: What is said before, between and after the places; one more than there are places.
        places: The names of the places, in order.
    """

    literals: tuple[str, ...]
    places: tuple[str, ...]

    @property
    def shape(self) -> str:
        """The sentence whatever its places are called: two of one shape are the same sentence."""
        return "{}".join(_doubled(literal) for literal in self.literals)

    @property
    def said(self) -> int:
        """How many characters stand outside the places."""
        return sum(map(len, self.literals))

    def values(self, text: str) -> dict[str, str] | None:
        """What stands in the places of a text, none of them empty, or None where the text is another sentence.

        Takes one walk along the text: each literal is sought once, from where the one before ended.
        """
        first, *between = self.literals
        if not between:
            return {} if text == first else None
        last = between.pop()
        if not text.startswith(first) or not text.endswith(last):
            return None
        at, end = len(first), len(text) - len(last)
        values: dict[str, str] = {}
        for place, literal in zip(self.places, [*between, None], strict=True):
            stop = end if literal is None else text.find(literal, at + 1, end)
            if stop <= at or values.setdefault(place, text[at:stop]) != text[at:stop]:
                return None
            at = stop + len(literal or "")
        return values

    def filled(self, values: dict[str, str]) -> str:
        """The sentence with these values in its places."""
        parts = [self.literals[0]]
        for place, literal in zip(self.places, self.literals[1:], strict=True):
            parts += values[place], literal
        return "".join(parts)


def read_template(text: str) -> Template:
    """Read a sentence with named places.

    Raises:
        SentencesError: A brace stands alone, a place has no plain name, or two places touch, so that nobody could say
            where one ends.
    """
    literals, places = [""], list[str]()
    try:
        parts = list(string.Formatter().parse(text))
    except ValueError as error:
        raise SentencesError(f"the sentence {text!r} has a brace alone ({error})", hint=_MEND) from error
    for literal, place, form, conversion in parts:
        literals[-1] += literal
        if place is None:
            continue
        if not place.isidentifier() or form or conversion:
            raise SentencesError(f"the sentence {text!r} has a place without a plain name", hint=_MEND)
        if places and not literals[-1]:
            raise SentencesError(f"the sentence {text!r} has two places that touch", hint=_MEND)
        places.append(place)
        literals.append("")
    return Template(tuple(literals), tuple(places))


class Sentences:
    """The catalogue, asked with sentences as they were raised."""

    def __init__(self, texts: Iterable[str]) -> None:
        """Read the catalogue.

        Args:
            texts: Tables as CSV (RFC 4180) with a heading: `english`, then the tags of languages.

        Raises:
            SentencesError: A sentence is there twice, a translation lacks a place or has one too many, or a template
                cannot be read.
        """
        self._by_shape: dict[str, tuple[Template, dict[str, Template]]] = {}
        for text in texts:
            for row in csv.DictReader(io.StringIO(text), strict=True):
                self._add(row)
        rows = self._by_shape.values()
        self._plain = {each.literals[0]: said for each, said in rows if not each.places}
        self._placed = sorted((row for row in rows if row[0].places), key=lambda row: (-row[0].said, row[0].shape))

    def __iter__(self) -> Iterator[tuple[Template, dict[str, Template]]]:
        """Give each English sentence with its translations by tag."""
        return iter(self._by_shape.values())

    def __contains__(self, template: Template) -> bool:
        """Whether the catalogue has a sentence of this shape."""
        return template.shape in self._by_shape

    def say(self, text: str, tag: str) -> str | None:
        """Return a sentence in another language, or None where the catalogue does not have it.

        Of several templates that fit, the one that says most itself is taken; a value that is a sentence too is said
        in the language as well.

        Args:
            text: The sentence in English, as it was raised.
            tag: The language wanted; a region is passed over.
        """
        return self._said(text, primary(tag), 1) if len(text) <= _LONGEST_CHARACTERS else None

    def _add(self, row: dict[str, str]) -> None:
        english = read_template(row.pop(ENGLISH))
        said = {tag: read_template(text) for tag, text in row.items() if text}
        if english.shape in self._by_shape:
            raise SentencesError(f"the catalogue has the sentence {english.shape!r} twice", hint=_MEND)
        for tag, template in said.items():
            if set(template.places) != set(english.places):
                raise SentencesError(f"the sentence {english.shape!r} has other places in {tag!r}", hint=_MEND)
        self._by_shape[english.shape] = english, said

    def _said(self, text: str, tag: str, depth: int) -> str | None:
        plain = self._plain.get(text)
        if plain is not None:
            return plain[tag].literals[0] if tag in plain else None
        with_reason = self._with_reason(text, tag, depth)
        if with_reason is not None:
            return with_reason
        for template, said in self._placed if depth <= _DEEPEST else ():
            values = template.values(text) if tag in said else None
            if values is None:
                continue
            filled = said[tag].filled({place: self._value(value, tag, depth) for place, value in values.items()})
            if filled != text:  # else a mere frame, such as a field's name and a colon, around what is not known
                return filled
        return None

    def _with_reason(self, text: str, tag: str, depth: int) -> str | None:
        """A sentence that ends with a known reason in brackets, said apart, so that no place swallows the two."""
        head, _, rest = text.rpartition(" (")
        reason = self._plain.get(rest.removesuffix(")")) if rest.endswith(")") else None
        whole = None if reason is None else self._said(head, tag, depth)
        return None if reason is None or whole is None or tag not in reason else f"{whole} ({reason[tag].literals[0]})"

    def _value(self, value: str, tag: str, depth: int) -> str:
        whole = self._said(value, tag, depth + 1)
        if whole is not None or _JOINT not in value:
            return value if whole is None else whole
        return _JOINT.join(self._said(each, tag, depth + 1) or each for each in value.split(_JOINT))


@cache
def shipped_sentences() -> Sentences:
    """Return the catalogue that comes with the program."""
    return Sentences(shipped_text(name) for name in shipped_names(FOLDER) if name.endswith(".csv"))


def _doubled(literal: str) -> str:
    return literal.replace("{", "{{").replace("}", "}}")


_MEND: Final = f"mend {FOLDER}, or install the package again"
