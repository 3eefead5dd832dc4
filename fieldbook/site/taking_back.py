"""Taking back: the words of an edition or one of its photos, erased at every site that the word of it reaches.

Not a withdrawal: that stops a harmful practice and keeps its notice; this makes words or a picture go, because somebody
is named or seen who does not want it, or because it should never have left. Its one rule: what cannot be called back
(paper, old sticks that nobody carries on, what people copied) is said before, and never promised.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.reviewing import Reviewing

if TYPE_CHECKING:
    from fieldbook.ledger import Said

NOT_CALLED_BACK = (
    "Paper that was printed, sticks that nobody brings any more, copies on phones, and backups keep it: nobody can "
    "call those back. Ask for the paper, and tell whoever took a copy."
)


class TakingBack(Reviewing):
    """What an author or a steward can make go."""

    def take_back(self, edition: str, *, signer: Signer) -> str:
        """Take back the words of an edition, with the photos that nothing else needs; returns the statement's id.

        Raises:
            FieldbookError: the signer is neither its author nor a steward, or it was taken back already.
        """
        said = self._may_take_back(edition, signer)
        if self.need_ledger().is_taken_back(edition):
            raise SiteError(f"edition {edition[:12]} was taken back already", hint="there is nothing left to take back")
        files = self.need_ledger().files_only_of(said)
        return self._take_back(signer, after=[edition], files=files)

    def take_back_photo(self, edition: str, name: str, *, signer: Signer) -> str:
        """Take back one photo of an edition, and keep its words; returns the statement's id.

        Raises:
            FieldbookError: there is no such photo, it is another author's too, or the signer may not take it back.
        """
        said = self._may_take_back(edition, signer)
        photo = next((one for one in (said.body or {}).get("photos") or () if one.get("name") == name), None)
        if photo is None or "ref" not in photo:
            names = ", ".join(self.photos_to_take_back(edition)) or "none is left"
            raise SiteError(
                f"edition {edition[:12]} has no photo {name!r} that left", hint=f"choose one of its photos ({names})"
            )
        files = [photo["ref"], photo["thumb"]]
        if "steward" not in signer.roles and self.need_ledger().others_name(files, author=signer.key.public):
            raise SiteError(
                f"the photo {name} stands in another author's edition too", hint="a signatory can take it back"
            )
        return self._take_back(signer, after=[], files=files)

    def photos_to_take_back(self, edition: str) -> tuple[str, ...]:
        """The names of the photos of an edition that left this site and are still here."""
        ledger = self.need_ledger()
        said = ledger.said(edition)
        body: dict[str, Any] = dict(said.body or {}) if said is not None else {}
        photos = body.get("photos") or ()
        return tuple(one["name"] for one in photos if "ref" in one and ledger.attachment(one["ref"]) is not None)

    def taken_back_by(self, edition: str) -> str | None:
        """Who took back the words of an edition, by letter and number; None where they stand."""
        return self.need_ledger().taken_back_by(edition)

    def may_take_back(self, edition: str, signer: Signer) -> bool:
        """True where this person may take back words or a photo of an edition."""
        said = self.need_ledger().said(edition)
        return said is not None and ("steward" in signer.roles or said.author == signer.key.public)

    def _may_take_back(self, edition: str, signer: Signer) -> Said:
        said = self.need_ledger().said(edition)
        if said is None:
            raise SiteError(f"edition {edition[:12]} is not here", hint="take in a stick that holds it")
        if not self.may_take_back(edition, signer):
            raise SiteError(
                f"{signer.label} may not take back edition {edition[:12]}", hint="its author can, or a signatory"
            )
        return said

    def _take_back(self, signer: Signer, *, after: list[str], files: list[str]) -> str:
        statement = self.need_ledger().say(
            signer.key,
            "sync/redaction",
            {},
            after=after,
            attachments=files,
            time=self.claimed_time(),
            random=self.random,
        )
        self.refresh()  # the index too: it holds the words
        return statement
