"""Drafts of one person, with the photos that wait beside them.

Not statements: drafts never leave the notebook. Its one rule: a draft is its author's alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.site import PhotoIn
from fieldbook.web.here import WebError

if TYPE_CHECKING:
    from fieldbook.notebook import Draft
    from fieldbook.site import Signer, Site


def drafts_of(site: Site, signer: Signer) -> tuple[Draft, ...]:
    """The drafts of a person, newest first."""
    return tuple(draft for draft in reversed(site.notebook.drafts()) if draft.author == signer.label)


def own_draft(site: Site, name: str, signer: Signer) -> Draft:
    """A person's draft by its name.

    Raises:
        FieldbookError: there is none, or it is another person's.
    """
    draft = site.notebook.draft(name)
    if draft.author != signer.label:
        raise WebError(f"{name} belongs to {draft.author}", hint=f"ask {draft.author} to sign in and go on with it")
    return draft


def photos_of(site: Site, name: str) -> list[PhotoIn]:
    """The photos that wait with a draft, as they were prepared."""
    found = []
    for photo in site.notebook.home_photos(name):
        data = site.notebook.home_photo_bytes(photo.full)
        if data is not None:
            found.append(PhotoIn(photo.name, data, photo.people))
    return found


def forget(site: Site, name: str, signer: Signer) -> None:
    """Throw a person's draft away, with its photos."""
    site.notebook.remove_draft(own_draft(site, name, signer))
