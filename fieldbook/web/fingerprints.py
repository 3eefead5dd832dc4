"""The words of a site and of its network with their squares, as pages show them.

Its one rule: a square never stands without its words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.qr import qr_svg

if TYPE_CHECKING:
    from fieldbook.site import Site


def fingerprints(site: Site, *, network_words: str | None = None) -> dict[str, str]:
    """Words and squares by the names that templates use; nothing of a network where there is none.

    Args:
        site: whose words.
        network_words: of the network that is looked at, where the site is in none.
    """
    network = network_words or site.network_words or ""
    return {
        "network_words": network,
        "network_square": network and qr_svg(network, label="The words of the network, as a square for a camera"),
        "site_words": site.words,
        "site_square": qr_svg(site.words, label="The words of this site, as a square for a camera"),
    }
