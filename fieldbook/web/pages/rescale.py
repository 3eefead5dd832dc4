"""A practice entry for one's own vessel, ground or heap.

Not the entry itself. Its one rule: nobody sees a size of an entry that they may not see, and the cautions come along.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from flask import Blueprint, redirect, render_template, request, url_for
from markupsafe import Markup

from fieldbook.practices.limits_of_scale import FISH_SMALL
from fieldbook.practices.scaled import amount_words
from fieldbook.practices.scaling import bases
from fieldbook.practices.sums_of_entry import sums_of
from fieldbook.quantities import CALCULATORS
from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.here import KEEPERS, WebError, reader_languages, signed_in, signer, site
from fieldbook.web.said import in_language
from fieldbook.web.shown import caution_keys, show_entry
from fieldbook.web.size_form import own_size
from fieldbook.web.size_words import (
    UNITS_TYPED,
    batch_picture,
    choices_of,
    days_of,
    gives_of,
    mixing_of,
    rows_of,
    size_lines,
)
from fieldbook.web.sum_form import MEASURE, first, typed_of

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.web.size_form import OwnSize

pages = Blueprint("rescale", __name__)


@pages.get("/entry/<entry>/size")
def size(entry: str) -> ResponseReturnValue:
    """Ask what the reader has, and show the practice for that."""
    here, edition = site(), request.args.get("edition")
    page = here.page(here.entry_id(entry), edition=edition and here.edition_id(edition), reader=signer())
    if page.notice is not None:
        return redirect(url_for("entries.entry", entry=entry))
    typed, value = request.args.to_dict(flat=False), here.entry_value(page.line.edition)
    own = own_size(value, typed, here.sums.measures())
    shown = show_entry(page.document, reader_languages())
    rendered = render_template(
        "entry_size.html",
        page=page,
        e=shown,
        typed={name: first(typed, name) for name in ("base", "amount", "in", "across", "begin")},
        faults=own.faults,
        choices=choices_of(bases(value), reader_languages()),
        units=_units(),
        **_answer(own, page.document),
        kept=size_lines(value, here.sums.sizes(page.line.edition), reader_languages()),
        may_keep=_may_keep(),
        sums=[(CALCULATORS[one.name].title, one.name, typed_of(one.given)) for one in sums_of(value)],
        cautions=[caution(key) for key in caution_keys(page.document)],
        standing_line=STANDING_LINE,
    )
    return rendered, 422 if own.faults else 200


@pages.post("/entry/<entry>/size")
@signed_in(*KEEPERS)
def keep(entry: str) -> ResponseReturnValue:
    """Keep a size in which this site makes the practice, or forget one."""
    here, typed = site(), request.form.to_dict(flat=False)
    page = here.page(here.entry_id(entry), edition=here.edition_id(first(typed, "edition")), reader=signer())
    if page.notice is not None:
        return redirect(url_for("entries.entry", entry=entry), code=303)
    if first(typed, "forget").isdigit():
        here.sums.remove_size(int(first(typed, "forget")))
    else:
        scaled = own_size(here.entry_value(page.line.edition), typed, here.sums.measures()).scaled
        if scaled is None:
            raise WebError("the size that was sent cannot be reckoned", hint="go back and reckon it once more")
        here.sums.keep_size(page.line.edition, scaled)
    back = url_for("rescale.size", entry=entry, edition=page.line.edition, language=first(typed, "language") or None)
    return redirect(back, code=303)


def _may_keep() -> bool:
    person = signer()
    return person is not None and not person.roles.isdisjoint(KEEPERS)


def _units() -> list[tuple[str, str]]:
    own = [(f"{MEASURE}{one.number}", one.name) for one in site().sums.measures()]
    return [*((unit, unit) for unit in UNITS_TYPED), *own]


def _answer(own: OwnSize, document: Any) -> dict[str, Any]:
    scaled, languages = own.scaled, reader_languages()
    if scaled is None:
        return {"rows": (), "days": (), "stays": (), "times": ""}
    return {
        "rows": rows_of(scaled, languages, site().sums.measures()),
        "gives": gives_of(scaled),
        "mixing": mixing_of(scaled),
        "picture": Markup(batch_picture(scaled)),  # noqa: S704 -- our own drawing, which escapes every word
        "ground": own.ground,
        "days": days_of(scaled, document, languages, own.begun),
        "loud": FISH_SMALL if FISH_SMALL in scaled.stays else "",
        "stays": [words for words in scaled.stays if words != FISH_SMALL],
        "have": (in_language(scaled.base.item, languages), amount_words(scaled.amount, scaled.unit)),
        "times": f"{scaled.factor.quantize(Decimal('0.001')).normalize():f}",
    }
