"""The notebook: what stays at this site and is never exchanged.

It holds the exact climate, the people's locked keys, drafts, photos that may not leave, marks of use, and the site's
own key file. It is neither a statement (nobody else sees it) nor disposable (nothing can rebuild it). Its one rule:
no path leads from here into a bundle; what leaves is written anew as a statement by ``site``.
"""

from fieldbook.notebook.book import Notebook
from fieldbook.notebook.file import NOTEBOOK_VERSION
from fieldbook.notebook.values import (
    Draft,
    HomePhoto,
    KeptFiles,
    NotebookError,
    Person,
    PhotoToKeep,
    Record,
    write_private_file,
)

__all__ = [
    "NOTEBOOK_VERSION",
    "Draft",
    "HomePhoto",
    "KeptFiles",
    "Notebook",
    "NotebookError",
    "Person",
    "PhotoToKeep",
    "Record",
    "write_private_file",
]
