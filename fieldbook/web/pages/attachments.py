"""Photos and drawings, by their digest."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from flask import Blueprint, Response, abort, request

from fieldbook.web.here import site

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("attachments", __name__)
_ID = re.compile(r"[0-9a-f]{64}")


@pages.get("/photo/<photo_id>")
def photo(photo_id: str) -> ResponseReturnValue:
    """Give one photo; a browser asks again each time, so that one which was taken back is gone at once."""
    found = site().attachment(photo_id) if _ID.fullmatch(photo_id) else None
    if found is None:
        abort(404)
    data, media_type = found
    response = Response(data, mimetype=media_type)
    response.set_etag(photo_id)
    response.headers["Content-Disposition"] = "inline"
    return response.make_conditional(request)
