"""The authors' signatures of many statements, on as many threads as the caller allows.

Not a queue that lives on: the threads end with the batch. One rule: the verdict, and which failure is named, do not
depend on how many threads there are.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import TYPE_CHECKING

from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sync.statement import Statement

_WORTH_A_THREAD = 16  # statements; beginning a thread takes about as long as verifying one


def verify_all(statements: Sequence[Statement], network_id: str, *, threads: int) -> None:
    """Verify each statement for a network; the library gives up the interpreter's lock while it computes.

    Args:
        statements: Any number.
        network_id: 64 hex.
        threads: At most how many work at once, from 1.

    Raises:
        RemoteError: A signature does not hold: the first such in the order given.
    """
    shares = min(threads, len(statements) // _WORTH_A_THREAD)
    if shares <= 1:
        failed = _first_failure(network_id, statements)
    else:
        length = -(-len(statements) // shares)
        parts = [statements[start : start + length] for start in range(0, len(statements), length)]
        with ThreadPoolExecutor(max_workers=shares) as pool:
            failures = list(pool.map(partial(_first_failure, network_id), parts))
        failed = next((each for each in failures if each is not None), None)
    if failed is not None:
        raise failed


def _first_failure(network_id: str, statements: Sequence[Statement]) -> RemoteError | None:
    try:
        for statement in statements:
            statement.verify(network_id)
    except RemoteError as error:
        return error
    return None
