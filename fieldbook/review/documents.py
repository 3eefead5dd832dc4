"""The documents that leave a site, as JSON Schema: what `schemas/` holds for entries and for what is said of them.

Not the reader (shapes read documents themselves). Its one rule: a schema is written from the same shape that reads.
"""

from __future__ import annotations

import json
from types import MappingProxyType
from typing import Final

from fieldbook.practices.entry_shape import ENTRY
from fieldbook.practices.records import as_json_schema
from fieldbook.review.bodies import BODIES

_SAYS: Final = MappingProxyType(
    {
        "fieldbook/approval": "A reviewer approves the one edition in `after`, having answered what the rules found.",
        "fieldbook/sent-back": "A reviewer, or its author, sends the edition in `after` back.",
        "fieldbook/retirement": "A reviewer says that the edition in `after` is out of date, not harmful.",
        "fieldbook/hold": "A site pauses the edition in `after`, or ends the pauses that it names there too.",
        "fieldbook/recall": "A reviewer withdraws the entries of the editions in `after`, and all made from them.",
        "fieldbook/lifting": "One of two voices that allow the editions in `after` again, after a recall named there.",
        "fieldbook/report": "Somebody says what came of the edition in `after`, or answers reports named there too.",
        "fieldbook/acknowledgement": "A site has the word of the recalls in `after`, or has taken their paper down.",
        "fieldbook/site": "What a site says of its place, rounded.",
    }
)


def _file_name(kind: str) -> str:
    return f"{kind.removeprefix('fieldbook/')}.schema.json"


SCHEMAS: Final = MappingProxyType(
    {
        "entry.schema.json": (
            ENTRY,
            "Practice entry",
            "The body of a fieldbook/edition statement, and what `fieldbook write` takes.",
        ),
        **{_file_name(kind): (BODIES[kind], f"Body of {kind}", _SAYS[kind]) for kind in BODIES},
    }
)


def schema_text(name: str) -> str:
    """Give a schema file's text, by its file name."""
    shape, title, description = SCHEMAS[name]
    schema = as_json_schema(shape, title=title, description=description)
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
