"""Short names of everyone, with more of a key wherever one would not be alone.

Not who has a role. One rule: a name tells its key from every other key that anybody named; two sites with one letter, a
person whose letter is not their site's alone, and two keys with one name at one site all show more of their key.

How much that is follows from the neighbours of each key among those of its name, so it is found in one walk through the
keys, when a name is first asked for; of a name, however many have it, only what it shows is remembered.
"""

from __future__ import annotations

from functools import cached_property
from hashlib import sha256
from typing import TYPE_CHECKING

from sync.charter.by_key import ByKey, first_of, pairs_in_order

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from sync.charter.room import Room

_SHOWN = 4  # characters of a key beside a name that is not alone; more where those are equal


class Labels(ByKey[str]):
    """The short names, by key."""

    def __init__(self, *, letters: Mapping[str, str], people: Mapping[str, tuple[str, str]], room: Room) -> None:
        """Of these, who do not change any more.

        Args:
            letters: The letter of each site, by key.
            people: Name and site's key of each person, by key; who is a site too is named as the site.
            room: Where to remember what is shown of names.
        """
        self._letters = letters
        self._people = people
        self._room = room

    def __getitem__(self, key: str) -> str:
        """The short name of one."""
        letter = self._letters.get(key)
        return self._of_person(key, *self._people[key]) if letter is None else self._of_site(key, letter)

    def __contains__(self, key: object) -> bool:
        """Whether anybody named it."""
        return key in self._letters or key in self._people

    def pairs(self) -> Iterator[tuple[str, str]]:
        """Each key with its short name."""
        sites = ((key, (letter, "")) for key, letter in pairs_in_order(self._letters))
        for key, (name, site) in first_of(sites, pairs_in_order(self._people)):
            yield key, self._of_person(key, name, site) if site else self._of_site(key, name)

    def _of_site(self, key: str, letter: str) -> str:
        shown = self._sites.shown(letter)
        return f"{letter}-{key[:shown]}" if shown else letter

    def _of_person(self, key: str, name: str, site: str) -> str:
        full = self._at_site(name, site)
        shown = self._persons.shown(full)
        return f"{full}-{key[:shown]}" if shown else full

    def _at_site(self, name: str, site: str) -> str:
        """The name alone where its letter is that of its site alone, else with so much of the site's key as tells."""
        letter = self._letters.get(site)
        shown = _SHOWN if letter is None else self._sites.shown(letter)
        return name if letter == name[:1] and not shown else f"{name}-{site[: shown or _SHOWN]}"

    @cached_property
    def _sites(self) -> _Shared:
        return _Shared(self._room, pairs_in_order(self._letters))

    @cached_property
    def _persons(self) -> _Shared:
        named = pairs_in_order(self._people)
        at_site = ((key, self._at_site(*name)) for key, name in named if key not in self._letters)
        return _Shared(self._room, at_site)


class _Shared:
    """How much of its key shows beside each name [characters]; none of a name that one key has alone."""

    def __init__(self, room: Room, names: Iterable[tuple[str, str]]) -> None:
        """Of keys in order, each with its name."""
        self._groups = room.texts()
        for key, name in names:
            place = _place_of(name)
            group = self._groups.get(place)
            shown = 0 if group is None else max(group[0], _SHOWN, 1 + _common(group[1:].decode(), key))
            self._groups[place] = bytes([shown]) + key.encode()

    def shown(self, name: str) -> int:
        """So much beside this name."""
        return self._groups[_place_of(name)][0]


def _place_of(name: str) -> str:
    return sha256(name.encode()).hexdigest()


def _common(first: str, second: str) -> int:
    return next((i for i, (a, b) in enumerate(zip(first, second, strict=False)) if a != b), len(first))
