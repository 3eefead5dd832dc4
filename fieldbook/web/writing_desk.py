"""What lies on the writing desk: the document that a form holds, in which language, following which editions.

What it is: one frozen value between the request and the form's template. What it is not: a draft (the notebook's) or a
check. Its one rule: whatever was typed comes back as it was typed, with each fault at its box.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from fieldbook.languages import checked_tag
from fieldbook.site import PhotoIn
from fieldbook.web.boxes import box_of_fault, get_at
from fieldbook.web.code_words import PEOPLE_WORDS
from fieldbook.web.differences import place_words
from fieldbook.web.entry_form import box_names, carried, fill_form, free_name, new_document, read_form, with_photo
from fieldbook.web.here import WebError
from fieldbook.web.words import told

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from werkzeug.datastructures import FileStorage, MultiDict

    from fieldbook.practices import Fault
    from fieldbook.web.boxes import Values

PHOTO_SLOTS = 3
CONFIRM = "sure"  # the box by which a writer says that they know what offering means


@dataclass(frozen=True, kw_only=True)
class Desk:
    """One entry while it is written.

    Attributes:
        language: in which the form's words are.
        document: the entry so far.
        after: editions that it follows.
        adaptation: it begins a new entry, made from those.
        draft: the draft that it goes on with, or empty.
        more: extra empty rows of each list.
        faults: sentences by the name of the box.
        errors: sentences that belong to no box.
    """

    language: str
    document: Mapping[str, Any] = field(default_factory=new_document)
    after: tuple[str, ...] = ()
    adaptation: bool = False
    draft: str = ""
    more: int = 0
    faults: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    errors: tuple[str, ...] = ()

    @property
    def values(self) -> Values:
        """What each box shows."""
        return fill_form(self.document, language=self.language)

    def with_faults(self, faults: Sequence[Fault]) -> Desk:
        """The same desk with each fault at its box."""
        names = [*box_names(self.values), CONFIRM]
        placed: dict[str, tuple[str, ...]] = {}
        loose = []
        for fault in faults:
            name = box_of_fault(self._asked_at(fault.field), names)
            if name is None:
                loose.append(told(fault.message, fault.hint, where=place_words(fault.field) if fault.field else ""))
            else:
                placed[name] = (*placed.get(name, ()), told(fault.message, fault.hint))
        return replace(self, faults=placed, errors=tuple(loose))

    def _asked_at(self, field: str) -> str:
        """Where the form asks for it: a group that is ruled out stands in a list, and is asked as a question."""
        match = re.fullmatch(r"facts\.none\[(\d+)\]", field)
        none = get_at(self.document, "facts.none") or []
        return f"ask.{none[int(match[1])]}" if match and int(match[1]) < len(none) else field

    def with_error(self, message: str, hint: str) -> Desk:
        """The same desk with a sentence at its top."""
        return replace(self, errors=(told(message, hint),))


def desk_from(posted: MultiDict[str, str]) -> Desk:
    """The desk that a form sent back.

    Raises:
        FieldbookError: the form did not come back whole, or its language is none.
    """
    before = carried(posted.get("carried", ""))
    if before is None:
        raise WebError("the form did not come back whole, so nothing was kept", hint="go back and send it once more")
    language = checked_tag(posted.get("language", ""))
    return Desk(
        language=language,
        document=read_form(posted, before, language=language),
        after=tuple(dict.fromkeys(value for value in posted.getlist("after") if value)),
        adaptation=bool(posted.get("adaptation")),
        draft=posted.get("draft", ""),
    )


def with_new_photos(
    desk: Desk, posted: MultiDict[str, str], files: Mapping[str, FileStorage], *, taken: Iterable[str]
) -> tuple[Desk, list[PhotoIn]]:
    """The desk with the photos that came along, and the photos themselves."""
    names = {str(photo.get("name")) for photo in desk.document.get("photos") or ()} | set(taken)
    document, photos = dict(desk.document), []
    for slot in range(PHOTO_SLOTS):
        file = files.get(f"photo.{slot}.file")
        if file is None or not file.filename:
            continue
        name = free_name(file.filename, names)
        names.add(name)
        alt, step, people = (posted.get(f"photo.{slot}.{part}", "").strip() for part in ("alt", "step", "people"))
        people = people if people in PEOPLE_WORDS else ""
        said = {"name": name, "alt": {desk.language: alt} if alt else {}, "people": people}
        document = with_photo(document, said, step=step)
        photos.append(PhotoIn(name, file.read(), people, file.filename))
    return replace(desk, document=document), photos
