"""The verbs of a reviewer: ``findings``, ``queue``, ``approve``.

Not the ways to stop an edition. Its one rule: what a page asks of a reviewer can be said here too, and nothing more.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.cli import words
from fieldbook.cli.arguments import UsageError
from fieldbook.languages import pick
from fieldbook.web.queue_words import reason_sentences

if TYPE_CHECKING:
    import argparse
    from collections.abc import Mapping

    from fieldbook.site import QueueItem, Signer, Site
    from fieldbook.site.writing import Written

    Told = tuple[dict[str, Any], list[str]]

_SHOWN_ID = 12


def findings(site: Site, options: argparse.Namespace) -> Told:
    """What the safety rules find in an edition."""
    edition = site.edition_id(options.edition)
    found = [finding.as_document() for finding in site.findings(edition)]
    alike = [one.sentence(site.languages) for one in site.alike.of_edition(edition)]
    missing = list(site.missing_to_approve(edition))
    document = {"edition": edition, "findings": found, "missing": missing, "alike": alike}
    return document, [*alike, *words.findings(document)]


def written(site: Site, done: Written) -> Told:
    """What was kept or offered: what the rules stop in it, and what withdrawn practice it reads like."""
    document: dict[str, Any] = {"kept_home": list(done.kept_home)}
    if done.draft is not None:
        document["draft"] = done.draft
        alike, found = site.alike.of_draft(site.notebook.draft(done.draft)), []
    else:
        document |= {"edition": done.edition, "entry": done.entry}
        alike = site.alike.of_edition(str(done.edition))
        found = [finding.as_document() for finding in site.findings(str(done.edition))]
    document["alike"] = [one.sentence(site.languages) for one in alike]
    return document, [*words.written(document, found), *document["alike"]]


def queue(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """What waits for a reviewer, in order, with the reasons."""
    items = site.review_queue.items(signer, minutes=options.minutes)
    document = {
        "minutes": options.minutes,
        "waiting": [{**item.as_document(), "words": reason_sentences(item.weight.reasons())} for item in items],
    }
    return document, [_line(site, item) for item in items] or ["Nothing waits."]


def _line(site: Site, item: QueueItem) -> str:
    title = pick(item.card.title, site.languages)[1]
    when = "now" if item.now else "later"
    reasons = " ".join(reason_sentences(item.weight.reasons()))
    return f"{when}  {item.card.edition[:_SHOWN_ID]}  {title} ({item.card.site_letter}): {reasons}"


def approve(site: Site, options: argparse.Namespace, signer: Signer, answers: Mapping[str, str]) -> Told:
    """Approve one exact edition."""
    edition = site.edition_id(options.edition)
    word = None
    if options.second_word is not None:
        role, on, said = options.second_word
        word = site.second_words.checked(edition, signer=signer, role=role, on=on, words=said, about=options.about)
    statement = site.approve(edition, signer=signer, answers=answers, limits=options.limit, second_word=word)
    line = f"{options.person} approved this exact edition." + (" Its limits stand with it." if options.limit else "")
    return {"statement": statement, "edition": edition}, [line]


def answers_in(typed: list[str]) -> Mapping[str, str]:
    """The reviewer's words by rule; a rule that is answered several times is answered with all of it.

    Raises:
        UsageError: an answer lacks its words.
    """
    answers: dict[str, list[str]] = {}
    for text in typed:
        rule, sign, said = text.partition("=")
        if not sign:
            raise UsageError(f"--answer {text!r} lacks its words", hint="write --answer RULE=WORDS")
        answer = answers.setdefault(rule.strip(), [])
        if said not in answer:
            answer.append(said)
    return {rule: "; ".join(answer) for rule, answer in answers.items()}
