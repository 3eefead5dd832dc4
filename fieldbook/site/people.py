"""The people of a site: who they are, what they sign in with, which roles they have now.

Its one rule: a passphrase is kept nowhere; the key that it opens stays in memory with its ``Signer``.
"""

from __future__ import annotations

import re
from contextlib import suppress
from typing import TYPE_CHECKING, TypeVar

from fieldbook.ledger import DamagedLedgerError, unlock_key
from fieldbook.site.holding import Holding
from fieldbook.site.parts import Signer, SiteError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.ledger import Known
    from fieldbook.notebook import Person

OneNamed = TypeVar("OneNamed", "Known", "Person")
PASSPHRASE_MIN_CHARACTERS = 4  # a number pad of an old phone; the hint asks for more


def check_label(label: str, letter: str) -> None:
    """Check that a label is this site's letter and a number, as C1.

    Raises:
        SiteError: it is not.
    """
    if re.fullmatch(re.escape(letter) + r"[1-9][0-9]{0,2}", label) is None:
        raise SiteError(
            f"{label!r} is no label of this site", hint=f"write the site's letter and a number, as {letter}1"
        )


def label_meant(text: str, letter: str) -> str:
    """A label of this site as it is written, whatever the case in which its letter was typed; other text as it is."""
    typed = text.strip()
    return letter + typed[1:] if typed[:1].casefold() == letter.casefold() else typed


def one_labelled(text: str, among: Iterable[OneNamed]) -> OneNamed | None:
    """The one of this label: in just this case, or the only one where case does not matter; None where nobody is."""
    typed = text.strip()
    alike = [one for one in among if one.label.casefold() == typed.casefold()]
    exact = [one for one in alike if one.label == typed]
    return exact[0] if exact else alike[0] if len(alike) == 1 else None


def check_passphrase(passphrase: str) -> None:
    """Check that a passphrase is long enough to be worth its name.

    Raises:
        SiteError: it is not.
    """
    if len(passphrase) < PASSPHRASE_MIN_CHARACTERS:
        raise SiteError(
            f"the passphrase is shorter than {PASSPHRASE_MIN_CHARACTERS} characters",
            hint="choose four or five short words that do not belong together",
        )


class People(Holding):
    """Signing in, and roles."""

    def people(self) -> tuple[Person, ...]:
        """The people of this site, by label."""
        return self.notebook.people()

    def person_named(self, label: str) -> Person | None:
        """The person of this site with this label, in any case; None where there is none."""
        return one_labelled(label, self.people())

    def unlock(self, label: str, passphrase: str) -> Signer:
        """Sign a person in.

        Raises:
            FieldbookError: nobody here has that label, or the passphrase does not open their key.
        """
        person = self.person_named(label)
        if person is None:
            raise SiteError(f"there is no {label} at this site", hint="a person signs in at their own site")
        key = unlock_key(person.locked, passphrase)
        return Signer(person.label, self.roles_of(person), key)

    def roles_of(self, person: Person) -> frozenset[str]:
        """The roles of a person now: what the network granted, else their role in the notebook."""
        granted: frozenset[str] = frozenset()
        with suppress(DamagedLedgerError):  # who mends a store must be able to sign in while it cannot be read
            granted = frozenset() if self.ledger is None else self.ledger.roles_of(person.key)
        return granted or frozenset({person.role})

    def is_stopped(self, key: str) -> bool:
        """True where a signatory stopped this key and nobody lifted that; False where the store cannot be read.

        It is only shown: what a stopped key says does not count, whatever a page tells.
        """
        with suppress(DamagedLedgerError):
            return self.ledger is not None and self.ledger.is_stopped(key)
        return False

    def signers_role(self, signer: Signer) -> Signer:
        """The same person with the roles that they have now (roles change with an exchange)."""
        person = self.notebook.person(signer.label)
        return signer if person is None else Signer(signer.label, self.roles_of(person), signer.key)
