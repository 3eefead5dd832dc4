"""The verbs about who may do what: ``who``, voices (``grant``, ``stewards``, ``agree``, ``lift``), stops, and the rest.

Its one rule: nobody is given anything before their eight words were typed, and ``--try`` says what would come of a step
and does nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.cli.words import fingerprint_lines
from fieldbook.site import SiteError
from fieldbook.site.roles import Doubt
from fieldbook.web import role_words, signing_words, words

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Sequence

    from fieldbook.ledger import Known, Motion, Outcome
    from fieldbook.site import Signer, Site
    from fieldbook.site.putting_away import PutAway

    Told = tuple[dict[str, Any], list[str]]

_SHOWN_ID = 12


def who(site: Site, options: argparse.Namespace) -> Told:
    """Who may do what, or one key with all that it said."""
    if options.label:
        return _one(site, site.key_named(" ".join(options.label)))
    ledger = site.need_ledger()
    motions, away, rivals = site.putting_away.waiting(), site.putting_away.away(), role_words.alarm_lines(site)
    able, threshold = ledger.can_sign()
    known = ledger.known()
    document = {
        **ledger.who(),
        "keys": [_key_document(one) for one in known],
        "motions": [_motion_document(site, motion) for motion in motions],
        "put_away": [{**_motion_document(site, one.motion), "by": one.by, "time": one.time} for one in away],
        "rival_lists": rivals,
        "warned": list(signing_words.standing(site)),
        "enough_signatories": able >= threshold,
    }
    signatories = words.joined(sorted(one["label"] for one in document["stewards"]))
    lines = [f"{one.label}, {_roles(one)}: {one.words}" for one in known]
    aside = words.joined(one.label for one in known if one.stopped and ledger.is_signatory(one.key))
    stopped = f" Stopped of them: {aside}." if aside else ""
    lines.append(f"Signatories whose word counts: {signatories or 'none'}. {threshold} must agree.{stopped}")
    if rivals:
        lines += ["Two rival lists of signatories are in force; only what all allow counts.", *rivals]
    lines += signing_words.standing(site)
    lines += [line for motion in motions for line in _motion_lines(site, motion)]
    return document, lines + [line for one in away for line in _away_lines(site, one)]


def _one(site: Site, one: Known) -> Told:
    ledger = site.need_ledger()
    said = [found for name in ledger.chain_of(one.key) if (found := ledger.said(name)) is not None]
    listed = [
        {
            "id": found.id,
            "kind": found.kind,
            "time": found.time,
            "words": role_words.said_words(site, found, site.languages),
            "stands": found.stands,
            "rule": ledger.rule_of(found.id),
        }
        for found in said
    ]
    stops = [{"id": stop.id, "by": stop.by, "time": stop.time} for stop in ledger.stops(one.key)]
    lines = [f"{one.label}, {_roles(one)}.", *fingerprint_lines(f"The words of {one.label}", one.words)]
    lines += [f"Stopped by {stop['by']} ({role_words.day(stop['time'])})." for stop in stops]
    for each in listed:
        aside = {"revoked": ", set aside by the stop", "adopted": ", taken back in"}.get(str(each["rule"]), "")
        waits = ", waits" if each["stands"] == "waiting" else ""
        lines.append(f"  {str(each['id'])[:_SHOWN_ID]}  {role_words.day(each['time'])}  {each['words']}{aside}{waits}")
    return {**_key_document(one), "stops": stops, "said": listed}, lines


def _key_document(one: Known) -> dict[str, Any]:
    return {
        "key": one.key,
        "label": one.label,
        "words": one.words,
        "roles": sorted(one.roles),
        "stopped": one.stopped,
    }


def _roles(one: Known) -> str:
    return "stopped" if one.stopped else words.roles(one.roles) or "no role now"


def _motion_document(site: Site, motion: Motion) -> dict[str, Any]:
    return {
        "id": motion.id,
        "words": role_words.motion_words(site, motion),
        "said": list(motion.said),
        "said_earlier": list(motion.earlier),
        "lacking": motion.lacking,
    }


def _motion_lines(site: Site, motion: Motion) -> list[str]:
    return [
        f"Waits for voices: {role_words.motion_words(site, motion)} {role_words.voices_words(motion)}",
        *(f"    {line}" for line in signing_words.one_of_several(site, motion)),
        f"    `agree {motion.id[:_SHOWN_ID]}` adds a voice.",
    ]


def _away_lines(site: Site, away: PutAway) -> list[str]:
    return [
        f"{role_words.away_words(away)} {role_words.motion_words(site, away.motion)}",
        f"    `put-away {away.motion.id[:_SHOWN_ID]} --back` shows it again.",
    ]


def grant(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """One voice for a reviewer, named by the eight words that they said."""
    person = site.person_of_words(" ".join(options.words))
    statement = site.make_reviewer(person, scope=options.scope, signer=signer)
    what = f"{person.label} becomes a reviewer of {role_words.scope_words(options.scope)}."
    return _voiced(site, statement, f"{signer.label} says: {what}", kind="sync/grant")


def stewards(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """One voice for the next list of signatories."""
    added = [site.person_of_words(typed) for typed in options.add]
    left = [site.key_named(label) for label in options.leave]
    listed = site.next_signatories(add=added, leave=left)
    threshold = options.threshold or max(site.need_ledger().can_sign()[1], len(listed) // 2 + 1)
    threshold = threshold if options.threshold else min(threshold, len(listed))
    what = role_words.signatories_words(site, listed, threshold)
    warned = signing_words.of_list(site, listed, threshold=threshold, signer=signer)
    if options.tried:
        return _tried(site, site.if_stewards(listed, threshold=threshold), what, warned)
    statement = site.state_stewards(listed, threshold=threshold, signer=signer)
    return _warned(_voiced(site, statement, f"{signer.label} says: {what}", kind="sync/stewards"), warned)


def agree(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """Add a voice to what others have said."""
    motion = site.motion_named(options.motion)
    what = role_words.motion_words(site, motion)
    warned = signing_words.of_motion(site, motion, signer=signer)
    if options.tried:
        return _tried(site, site.if_agreed(motion), what, warned)
    said = {site.person_of_words(typed).key for typed in options.words}
    for one in site.newcomers(motion, signer=signer):
        if one.key not in said:
            raise SiteError(
                f"the words of {one.label} were not compared",
                hint='ask them for their eight words, and add --words "..."',
            )
    statement = site.agree(motion, signer=signer)
    return _warned(_voiced(site, statement, f"{signer.label} says: {what}", kind=motion.kind), warned)


def put_away(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """Hide at this site what waits for voices and is wanted no more, or show it again."""
    motion = site.motion_named(options.motion)
    what = role_words.motion_words(site, motion)
    document = {"id": motion.id, "put_away": not options.back}
    if options.back:
        site.putting_away.take_out(motion, signer=signer)
        return document, [f"It stands among what waits for voices again: {what}"]
    site.putting_away.put(motion, signer=signer)
    return document, [
        f"Put away at this site: {what}",
        "Nothing that was signed has changed, and enough voices still bring it into force.",
        f"    `put-away {motion.id[:_SHOWN_ID]} --back` shows it again.",
    ]


def stop(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """Stop a key, with what is doubted of it."""
    person = site.key_named(options.label)
    doubt = Doubt(tuple(site.word_named(person, one) for one in options.doubted), everything=options.everything)
    outcome, warned = site.if_stopped(person, doubt, signer=signer), signing_words.of_stop(site, person, doubt)
    if options.tried:
        return _tried(site, outcome, f"{signer.label} stops the key of {person.label}.", warned)
    statement = site.stop(person, doubt, signer=signer)
    lines = [
        f"{signer.label} stopped the key of {person.label}. It goes first on the next stick.",
        *role_words.typed_out(role_words.outcome_lines(site, outcome, site.languages)),
    ]
    return _warned(({"statement": statement, **_outcome_document(outcome)}, lines), warned)


def lift(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """One voice for lifting every stop of a key."""
    person = site.key_named(options.label)
    what = f"The stop of {person.label} is lifted."
    if options.tried:
        return _tried(site, site.if_lifted(person), what)
    statement = site.lift(person, signer=signer)
    return _voiced(site, statement, f"{signer.label} says: {what}", kind="sync/reinstatement")


def adopt(site: Site, options: argparse.Namespace, signer: Signer) -> Told:
    """Take single words that a stop set aside back in."""
    names = [site.aside_named(one) for one in options.said]
    statements = site.adopt(names, signer=signer)
    return {"statements": list(statements), "adopted": names}, [
        f"{signer.label} took back in: {words.counted(len(names), 'word', 'words')}. Each stands again at every site."
    ]


def _voiced(site: Site, statement: str, what: str, *, kind: str) -> Told:
    """After a voice: what was said, and whether it is enough."""
    ledger = site.need_ledger()
    said = ledger.said(statement)
    stands = said is not None and said.stands == "accepted"
    motions = [one for one in ledger.motions() if one.kind == kind and not stands and _is_of(one, statement, site)]
    lines = [what, "That is enough: it is in force, and goes first on the next stick."] if stands else [what]
    for motion in motions:
        lines += _motion_lines(site, motion)
    return {"statement": statement, "in_force": stands, "lacking": motions[0].lacking if motions else 0}, lines


def _is_of(motion: Motion, statement: str, site: Site) -> bool:
    said = site.need_ledger().said(statement)
    return said is not None and dict(said.body or {}) == dict(motion.body) and said.after == motion.after


def _tried(site: Site, outcome: Outcome, what: str, warned: Sequence[str] = ()) -> Told:
    """After ``--try``: what would come of it."""
    then = role_words.typed_out(role_words.outcome_lines(site, outcome, site.languages))
    return _warned((_outcome_document(outcome), [f"Only tried, nothing was said. {what}", *then]), warned)


def _warned(told: Told, warned: Sequence[str]) -> Told:
    """The same with what is to be warned of."""
    document, lines = told
    return {**document, "warned": list(warned)}, [*lines, *warned]


def _outcome_document(outcome: Outcome) -> dict[str, Any]:
    def changes(pairs: Sequence[tuple[str, frozenset[str]]]) -> list[dict[str, Any]]:
        return [{"label": label, "roles": sorted(roles)} for label, roles in pairs]

    return {
        "set_aside": list(outcome.set_aside),
        "counts_again": list(outcome.back),
        "lost": changes(outcome.lost),
        "gained": changes(outcome.gained),
        "rivals": outcome.rivals,
    }


STEPS: dict[str, Callable[[Site, argparse.Namespace, Signer], Told]] = {
    "grant": grant,
    "stewards": stewards,
    "agree": agree,
    "put-away": put_away,
    "stop": stop,
    "lift": lift,
    "adopt": adopt,
}
