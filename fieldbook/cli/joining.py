"""The verbs ``join`` and ``admit``: a site asks a network to let it in, and a signatory lets it in.

Its one rule: a network is joined once and never left, so its words can be looked at, and be compared, before.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.cli import words

if TYPE_CHECKING:
    import argparse
    from pathlib import Path

    from fieldbook.site import Signer, Site

    Said = tuple[dict[str, Any], list[str], int]


def join(site: Site, options: argparse.Namespace, carrier: Path) -> Said:
    """Ask the network on a stick to let this site in; or only look whose words it has."""
    if options.tried:
        title, network_words = site.network_on(carrier)
        looked_at: dict[str, Any] = {"network_title": title, "network_words": network_words, "words": site.words}
        return looked_at, words.network_looked_at(looked_at), 0
    report = site.join_from(
        carrier, network_words=options.words or None, progress=None if options.json else words.progress()
    )
    document = {
        "site": site.site_key.public,
        "words": site.words,
        "network": site.need_ledger().network_id,
        "network_title": site.network_title,
        "network_words": site.network_words,
        **report.as_document(),
    }
    lines = [*words.asked_to_join(document), *words.exchanged(document)]
    return document, lines, 0 if report.safe_to_remove else 1


def admit(site: Site, options: argparse.Namespace, carrier: Path, signer: Signer) -> Said:
    """Let the site in whose words were said."""
    admitted = site.admit_from(carrier, " ".join(options.words), signer=signer, same_letter=options.same_letter)
    document = {
        "statement": admitted.statement,
        "site": admitted.join.key,
        "letter": admitted.join.letter,
        "name": admitted.join.name,
        **admitted.left.as_document(),
    }
    return document, words.admitted(document), 0 if admitted.left.safe_to_remove else 1
