"""The pages of a site: Flask, drawn on the server, readable without a script on a small old phone.

Not a place where anything is decided: a page asks ``site``, and says in words what it was told. Its one rule: one
blueprint a theme, thin views, no SQL and no files; every text of a person stands in its own language and direction.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldbook.web.app import create_app
    from fieldbook.web.serving import serve, serve_first_run

__all__ = ["create_app", "serve", "serve_first_run"]


def __getattr__(name: str) -> Any:
    """Load the pages when they are asked for: a command that takes only our words from here starts without Flask."""
    if name == "create_app":
        from fieldbook.web.app import create_app

        return create_app
    if name in __all__:
        from fieldbook.web import serving

        return getattr(serving, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
