"""What pages and commands warn of before a voice is given: lists that one lost key ends, and stops that reach far.

Not the steps (``pages.roles``, ``cli.roles``) and not what a list is (``role_words``). Its one rule: it warns and never
forbids, since people know their own case; what is warned of before is told again after.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.errors import Notice
from fieldbook.web import words

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.ledger import Known, Motion
    from fieldbook.site import Signer, Site
    from fieldbook.site.roles import Doubt
    from fieldbook.web.words import Told


def only_one() -> Told:
    """What hangs on the one key of a network with a single signatory."""
    return words.retold(
        Notice(
            "There is only one signatory: if that one key is lost, nobody can ever let a site in, stop a key, make a "
            "reviewer or name signatories in this network again. Name two more as soon as you can, two of whom must "
            "agree."
        )
    )


def fragile(site: Site, stewards: Iterable[Mapping[str, str]], threshold: int) -> list[Told]:
    """A warning where one lost key would end what takes several; of a list that is proposed or in force."""
    listed = list(stewards)
    left = sum(not site.is_stopped(one["key"]) for one in listed)
    if len(listed) == 1:
        return [only_one()] if left else []
    if threshold == len(listed):
        return [
            words.retold(
                Notice(
                    f"All {threshold} signatories must agree: if one of their keys is lost, nobody can ever make a "
                    "reviewer, lift a stop or name signatories in this network again. Name one more than must agree."
                )
            )
        ]
    if left < threshold:
        return [_left(left, threshold)]
    if left == threshold:
        return [
            words.retold(
                Notice(
                    f"Only {left} signatories are left that were not stopped, and all of them must agree: if one more "
                    "key is lost, nobody may ever make a reviewer, lift a stop or name signatories here again. Name "
                    "new ones now."
                )
            )
        ]
    return _at_one_site(site, [one["site"] for one in listed if not site.is_stopped(one["key"])], threshold)


def _at_one_site(site: Site, homes: Sequence[str], threshold: int) -> list[Told]:
    """A warning where one lost laptop takes so many keys that fewer are left than must agree."""
    home = max(sorted(set(homes)), key=homes.count)
    there = homes.count(home)
    if len(homes) - there >= threshold:
        return []
    letter = site.need_ledger().label(home)
    return [
        words.retold(
            Notice(
                f"{there} of these signatories are at site {letter}, and their keys on one laptop: if it is lost "
                "without a backup, fewer are left than must agree. Better: one signatory a site."
            )
        )
    ]


def of_list(site: Site, stewards: Sequence[Mapping[str, str]], *, threshold: int, signer: Signer) -> list[Told]:
    """What is to be warned of before a voice for a list of signatories."""
    return [*fragile(site, stewards, threshold), *_second_list(site, stewards, threshold=threshold, signer=signer)]


def of_motion(site: Site, motion: Motion, *, signer: Signer) -> list[Told]:
    """What is to be warned of before a voice is added."""
    if motion.kind != "sync/stewards":
        return []
    warned = of_list(site, motion.body["stewards"], threshold=motion.body["threshold"], signer=signer)
    return [*one_of_several(site, motion), *warned]


def one_of_several(site: Site, motion: Motion) -> list[Told]:
    """That a list is only one of several that wait, those that were put away here among them."""
    lists = sum(one.kind == "sync/stewards" for one in site.need_ledger().motions())
    if motion.kind != "sync/stewards" or lists < 2:
        return []
    return [
        words.retold(
            Notice(
                f"This is one of {lists} lists that wait. As soon as one is in force the others wait here no more; if "
                "two find enough voices before that, two rival lists stand. Agree by talking which one you mean."
            )
        )
    ]


def _second_list(site: Site, stewards: Sequence[Mapping[str, str]], *, threshold: int, signer: Signer) -> list[Told]:
    if not site.has_said_another(stewards, threshold=threshold, signer=signer):
        return []
    return [
        words.retold(
            Notice(
                f"{signer.label} said another list before: if both find enough voices, two rival lists stand. Tell the "
                "others which one you mean."
            )
        )
    ]


def of_stop(site: Site, person: Known, doubt: Doubt) -> list[Told]:
    """How far a stop reaches beyond what is known here: nobody sees that before it comes."""
    left = _left_by_stop(site, person)
    if doubt.everything:
        return left
    if not site.has_said(person):
        return [
            *left,
            words.retold(
                Notice(
                    f"Nothing that {person.label} said is known here, so this stop leaves nothing of it standing: what "
                    "it said elsewhere and is still on its way is set aside too, at every site. If that may be good, "
                    "exchange with a stick from its site first, then stop it."
                )
            ),
        ]
    return [
        *left,
        words.retold(
            Notice(
                f"What {person.label} said after what is known here, and is still on its way, is set aside too, at "
                "every site. If that may be good, exchange with a stick from its site first."
            )
        ),
    ]


def _left_by_stop(site: Site, person: Known) -> list[Told]:
    """How many signatories a stop leaves, where it leaves none to spare."""
    ledger = site.need_ledger()
    able, threshold = ledger.can_sign()
    if person.stopped or not ledger.counts_in_all(person.key) or able - 1 > threshold:
        return []
    if able - 1 == threshold:
        return [
            words.retold(
                Notice(
                    f"With this stop {threshold} signatories are left that were not stopped, and all of them must "
                    "agree. Name a new one soon."
                )
            )
        ]
    return [
        words.retold(
            Notice(
                f"With this stop too few signatories are left that were not stopped: {able - 1}, where {threshold} "
                f"must agree. To lift it takes {threshold} voices too."
            )
        )
    ]


def standing(site: Site) -> list[Told]:
    """What is to be known of the list in force: too few are left, or one lost key would make them too few.

    Nothing while rival lists stand: their own alarm says what counts, and a new list ends it.
    """
    ledger = site.need_ledger()
    able, threshold = ledger.can_sign()
    if site.has_rivals:
        return []
    return _too_few(able, threshold) if able < threshold else fragile(site, ledger.listed_stewards(), threshold)


def _left(able: int, threshold: int) -> Told:
    return words.retold(
        Notice(f"Too few signatories are left that were not stopped: {able}, where {threshold} must agree.")
    )


def _too_few(able: int, threshold: int) -> list[Told]:
    return [
        _left(able, threshold),
        words.retold(
            Notice(
                "What goes on: everybody reads, writes, approves, withdraws and exchanges as before. One signatory "
                "alone can still let a site in, stop a key, and take good words back in."
            )
            if able
            else Notice(
                "What goes on: everybody reads, writes, approves, withdraws and exchanges as before. No site can be "
                "let in any more; a signatory who was stopped and still has the key can still stop a key."
            )
        ),
        words.retold(
            Notice(
                "What nobody can do here any more: make a reviewer, lift a stop, name signatories. But the voice of a "
                "signatory who was stopped and still has the key counts for lifting a stop and for a new list. Where "
                "too many keys are lost, a new network is the only way to that."
            )
        ),
    ]
