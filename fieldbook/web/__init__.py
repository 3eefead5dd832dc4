"""The pages of a site: Flask, drawn on the server, readable without a script on a small old phone.

Not a place where anything is decided: a page asks ``site``, and says in words what it was told. Its one rule: one
blueprint a theme, thin views, no SQL and no files; every text of a person stands in its own language and direction.
"""

from fieldbook.web.app import create_app
from fieldbook.web.serving import serve, serve_first_run

__all__ = ["create_app", "serve", "serve_first_run"]
