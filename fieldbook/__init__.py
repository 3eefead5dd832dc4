"""Tried Ground: a field knowledge base of garden practices that sites keep offline and exchange.

The rooms, from the door down: ``__main__`` and ``cli`` (commands), ``demo`` (the invented network), ``web`` (pages),
``site`` (one site, wired once), ``search`` (words in, hits out), ``view`` (what people see, folded from statements),
``ledger`` (the one module that speaks to ``sync``), ``notebook`` (what never leaves), and below them pure values and
computation. Imports flow down only; a machine checks it.
"""
