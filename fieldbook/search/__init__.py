"""Words in, ranked hits out: what a worried person types, in any language, on a small machine.

What it is: the one home of the search engine, and of the tables that lead from signs and local names to topics. What
it is not: a store; the index is disposable, and whoever holds the entries can build it anew at any time.

Its one rule: nothing is shown that a reader may not see. Who may see what is said by the documents handed in; here it
is only ordered: checked before unchecked before out of date, a withdrawn entry by its notice alone.
"""

from fieldbook.search.index import Index
from fieldbook.search.values import Document, Hit, IndexUnusable, SearchError, Text
from fieldbook.search.worry import is_worried

__all__ = ["Document", "Hit", "Index", "IndexUnusable", "SearchError", "Text", "is_worried"]
