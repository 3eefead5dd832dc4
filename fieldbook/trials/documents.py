"""The trial as a document that leaves a site, as JSON Schema.

Not the reader. Its one rule: the schema is written from the same shape that reads.
"""

from __future__ import annotations

import json
from typing import Final

from fieldbook.practices.records import as_json_schema
from fieldbook.trials.shape import TRIAL

SCHEMA_NAME: Final = "trial.schema.json"


def schema_text() -> str:
    """Give the text of `schemas/trial.schema.json`."""
    schema = as_json_schema(
        TRIAL,
        title="Body of fieldbook/trial",
        description="Somebody tried the edition in `after` beside the usual way, and says what was counted.",
    )
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
