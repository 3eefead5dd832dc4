"""Print what an area of the catalogue still lacks: `python -m tests.sentences.listing AREA`."""

from __future__ import annotations

import sys

from fieldbook.sentences import shipped_sentences
from tests.sentences.areas import area_of, collected, sentences_of


def main(area: str) -> None:
    """Name each sentence of an area once, with where it is said, that the catalogue does not hold; then what cannot be read."""
    held = {english.shape for english, _ in shipped_sentences()}
    for each in sentences_of(area):
        if each.shape not in held:
            held.add(each.shape)
            print(f"{each.place}: {'' if each.whole else '(phrase) '}{each.template}")
    for where in sorted(collected().unreadable):
        if area_of(where) == area:
            print(f"cannot be read: {where}")


if __name__ == "__main__":
    main(sys.argv[1])
