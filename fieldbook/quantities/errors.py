"""What can be wrong with what a calculator is given."""

from __future__ import annotations

from fieldbook.errors import FieldbookError


class QuantityError(FieldbookError):
    """A quantity that cannot be computed from what is given."""
