"""What can be wrong with numbers that are handed to a method."""

from __future__ import annotations

from fieldbook.errors import FieldbookError


class CountsError(FieldbookError):
    """Counts from which this method can say nothing."""
