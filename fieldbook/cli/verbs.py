"""The verbs: each calls the site and says the result twice, as JSON for machines and as plain lines for people."""

from __future__ import annotations

import getpass
import os
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.cli import (
    comparing,
    computing,
    deciding,
    gardening,
    joining,
    keeping,
    roles,
    seasonal,
    serving,
    starting,
    stopping,
    whereabouts,
    words,
)
from fieldbook.cli.arguments import UsageError
from fieldbook.site import (
    NOT_CALLED_BACK,
    Founding,
    NewSite,
    Site,
    SiteError,
    begin_site,
    months_from_text,
    photo_from_file,
    photos_beside,
    read_entry_file,
    read_text_file,
)
from fieldbook.site.people import label_meant
from fieldbook.web import signing_words

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from fieldbook.site import Signer


@dataclass(frozen=True)
class Result:
    """What a verb has to say: a JSON document, lines for people, and the exit code."""

    document: dict[str, Any]
    lines: list[str] = field(default_factory=list)
    code: int = 0


def passphrase_for(label: str, *, new: bool = False) -> str:
    """The passphrase of a person: from ``FIELDBOOK_PASSPHRASE``, else asked for; a new one is typed twice.

    Raises:
        SiteError: it is not set and there is nobody to ask, or a new one was typed in two ways.
    """
    given = os.environ.get("FIELDBOOK_PASSPHRASE")
    if given:
        return given
    if not sys.stdin.isatty():
        raise SiteError(
            f"the passphrase of {label} is needed", hint="set FIELDBOOK_PASSPHRASE, or run it in a terminal"
        )
    try:
        typed = getpass.getpass(f"Passphrase of {label}: ")
        again = getpass.getpass("The same once more: ") if new else typed
    except EOFError as error:
        raise SiteError(f"no passphrase of {label} was typed", hint="type it, and press Enter") from error
    if typed != again:
        raise SiteError("the two passphrases are not the same", hint="type it again, slowly; nothing was made")
    return typed


def _signer(site: Site, options: argparse.Namespace) -> Signer:
    person = site.person_named(options.person)
    if person is None:
        raise SiteError(
            f"there is no person {options.person!r} at this site",
            hint="name a person of this site; each signs at their own",
        )
    options.person = person.label  # whatever the case in which it was typed
    return site.unlock(person.label, passphrase_for(person.label))


def _reader(site: Site, options: argparse.Namespace) -> Signer | None:
    return None if options.person is None else _signer(site, options)


def _new(options: argparse.Namespace) -> Result:
    if bool(options.network) != bool(options.steward):
        raise UsageError(
            "--network TITLE and --steward LABEL go together",
            hint="give both, or neither: the first signatory founds the network",
        )
    folder = site_folder(options)
    facts = NewSite(
        name=options.name,
        letter=options.letter,
        latitude_deg=options.latitude,
        elevation_m=options.elevation,
        normals=read_text_file(Path(options.normals)),
        setting=options.setting,
        languages=tuple(tag.strip() for tag in options.languages.split(",")),
        watering=options.watering,
        frost_months=months_from_text(options.frost_months),
        salt_water_months=months_from_text(options.salt_months),
    )
    founding = None
    if options.network:
        first = label_meant(options.steward, options.letter)
        founding = Founding(options.network, first, passphrase_for(first, new=True), starters=not options.no_starters)
    begin_site(folder, facts, founding=founding, progress=None if options.json else words.progress())
    site = Site.open(folder)
    try:
        document: dict[str, Any] = {
            "site": site.site_key.public,
            "letter": site.letter,
            "name": site.name,
            "words": site.words,
            "entries": len(site.cards()),
        }
        document["network"] = None if site.ledger is None else site.ledger.network_id
    finally:
        site.close()
    document["warned"] = [signing_words.only_one()] if founding else []
    return Result(document, [*words.begun(document, options.network, folder), *document["warned"]])


def site_folder(options: argparse.Namespace) -> Path:
    """The folder that ``--site`` or ``FIELDBOOK_SITE`` names.

    Raises:
        UsageError: neither was given.
    """
    name = options.site or os.environ.get("FIELDBOOK_SITE", "")
    if not name:
        raise UsageError("which site?", hint="say `--site DIR` before the verb, or set FIELDBOOK_SITE")
    return Path(name)


def _climate(options: argparse.Namespace) -> Result:
    if options.normals is not None:
        return Result(*seasonal.climate_of_table(options))
    site = Site.open(site_folder(options))
    try:
        return Result(*seasonal.climate_of_site(site, options))
    finally:
        site.close()


def _demo(options: argparse.Namespace) -> Result:
    from fieldbook.demo import run_demo  # the demo is heavier than the other verbs

    run_demo(
        None if options.data is None else Path(options.data),
        port=None if options.no_serve else options.port,
        passphrase=os.environ.get("FIELDBOOK_PASSPHRASE"),
        say=(lambda line: print(line, file=sys.stderr, flush=True))
        if options.json
        else (lambda line: print(line, flush=True)),
    )
    return Result({"done": True})


def _person(site: Site, options: argparse.Namespace) -> Result:
    person = site.add_person(options.label, role=options.role, passphrase=passphrase_for(options.label, new=True))
    document = {"person": person.label, "key": person.key, "role": person.role}
    return Result(
        document,
        [f"{person.label} is a {person.role} here. Their key opens with the passphrase, and with nothing else."],
    )


def _write(site: Site, options: argparse.Namespace) -> Result:
    path = Path(options.file)
    document = read_entry_file(path)
    signer = _signer(site, options)
    photos = photos_beside(document, path.parent)
    for photo in options.photo or ():
        photos.append(photo_from_file(Path(photo["file"]), photo["people"], taken=[one.name for one in photos]))
    written = site.write(
        document, signer=signer, photos=photos, draft=options.draft, after=options.after, adaptation=options.adaptation
    )
    return Result(*deciding.written(site, written))


def _offer(site: Site, options: argparse.Namespace) -> Result:
    return Result(*deciding.written(site, site.offer(options.draft, signer=_signer(site, options))))


def _approve(site: Site, options: argparse.Namespace) -> Result:
    answers = deciding.answers_in(options.answer)  # before anybody is asked for a passphrase
    return Result(*deciding.approve(site, options, _signer(site, options), answers))


def _say(verb: str, done: str) -> Callable[[Site, argparse.Namespace], Result]:
    def run_verb(site: Site, options: argparse.Namespace) -> Result:
        edition = site.edition_id(options.edition)
        arguments = {name: getattr(options, name) for name in _SAY_ARGUMENTS[verb]}
        statement = getattr(site, verb)(edition, signer=_signer(site, options), **arguments)
        return Result({"statement": statement, "edition": edition}, [f"{options.person}: {done}."])

    return run_verb


def _take_back(site: Site, options: argparse.Namespace) -> Result:
    edition, signer = site.edition_id(options.edition), _signer(site, options)
    if options.photo is None:
        statement = site.take_back(edition, signer=signer)
    else:
        statement = site.take_back_photo(edition, options.photo, signer=signer)
    done = "Taken back here; it goes first on the next stick, and every site that it reaches erases it too."
    return Result({"statement": statement, "edition": edition}, [done, NOT_CALLED_BACK])


_SAY_ARGUMENTS: dict[str, tuple[str, ...]] = {
    "send_back": ("reason", "code"),
    "recall": ("harm", "now", "instead", "at_risk", "sources", "ingredient"),
    "retire": ("reason", "replaced_by"),
    "hold": ("reason",),
    "release": (),
}


def _show(site: Site, options: argparse.Namespace) -> Result:
    page = site.page(site.entry_id(options.entry), reader=_reader(site, options))
    lacks = site.second_words.lacks_for_home(page) if page.notice is None else ("stop",)
    document = {**page.as_document(), "lacks_for_home": list(lacks), "compared": site.trials.document(page.entry)}
    return Result(document, words.page(page, languages=(*options.language, *site.languages)))


def _carrier(options: argparse.Namespace) -> Path:
    if not options.carrier.strip():
        raise UsageError("which stick?", hint="name its folder")
    return Path(options.carrier)


def _exchange(site: Site, options: argparse.Namespace) -> Result:
    report = site.exchange(_carrier(options), progress=None if options.json else words.progress())
    document = report.as_document()
    fine = report.safe_to_remove and not report.refused
    return Result(document, [*words.exchanged(document), *_to_be_done(site)], 0 if fine else 1)


def _to_be_done(site: Site) -> list[str]:
    """What waits for people of this site and is brought by no later stick."""
    if site.ledger is None:
        return []
    here = {person.key for person in site.people()}
    voices = sum(any(site.ledger.may_agree(one, key) for key in here) for one in site.putting_away.waiting())
    signed = any("steward" in site.ledger.roles_of(key) for key in here)
    return words.to_be_done(voices, site.joins_waiting() if signed else ())


def _join(site: Site, options: argparse.Namespace) -> Result:
    return Result(*joining.join(site, options, _carrier(options)))


def _admit(site: Site, options: argparse.Namespace) -> Result:
    carrier = _carrier(options)
    return Result(*joining.admit(site, options, carrier, _signer(site, options)))


def _holds(site: Site, options: argparse.Namespace) -> Result:
    return Result(*whereabouts.holds(site, options))


def _heartbeat(site: Site, options: argparse.Namespace) -> Result:
    return Result(*whereabouts.heartbeat(site, _signer(site, options)))


def _search(site: Site, options: argparse.Namespace) -> Result:
    reader = _reader(site, options)
    hits = site.search(" ".join(options.words), language=options.language, limit=options.limit, reader=reader)
    kept_back = None if hits else site.kept_back(reader=reader)
    document = {"hits": [hit.as_document() for hit in hits], "kept_back": kept_back}
    return Result(document, words.hits(document))


def _calendar(site: Site, options: argparse.Namespace) -> Result:
    return Result(*seasonal.calendar(site, options))


def _verify(site: Site, _options: argparse.Namespace) -> Result:
    found = site.verify()
    document = {
        "ok": found.ok,
        "state": found.state,
        "set": found.set,
        "statements": found.statements,
        "entries": found.entries,
        "problems": list(found.problems),
    }
    return Result(document, words.verified(document), 0 if found.ok else 1)


def _rebuild(site: Site, _options: argparse.Namespace) -> Result:
    entries = site.rebuild()
    return Result(
        {"entries": entries}, [f"View and search index are made anew from the statements: {entries} practice entries."]
    )


def _serve(options: argparse.Namespace) -> Result:
    return Result(serving.serve(site_folder(options), options))


def _backup(site: Site, options: argparse.Namespace) -> Result:
    return Result(*keeping.backup(site, options))


def _restore(options: argparse.Namespace) -> Result:
    return Result(*keeping.restored(options))


def _role_step(verb: str) -> Callable[[Site, argparse.Namespace], Result]:
    return lambda site, options: Result(*roles.STEPS[verb](site, options, _signer(site, options)))


def _stop_step(verb: str) -> Callable[[Site, argparse.Namespace], Result]:
    return lambda site, options: Result(*stopping.STEPS[verb](site, options, _reader(site, options)))


def _seasonal_step(verb: str) -> Callable[[Site, argparse.Namespace], Result]:
    return lambda site, options: Result(*seasonal.STEPS[verb](site, options))


def _compute(options: argparse.Namespace) -> Result:
    return Result(*computing.compute(options))


WITHOUT_SITE: dict[str, Callable[[argparse.Namespace], Result]] = {
    "compute": _compute,
    "new": _new,
    "climate": _climate,
    "serve": _serve,
    "restore": _restore,
    "mend": lambda options: Result(*keeping.mended(site_folder(options), options)),
    "demo": _demo,
}
WITH_SITE: dict[str, Callable[[Site, argparse.Namespace], Result]] = {
    "person": _person,
    "write": _write,
    "offer": _offer,
    "findings": lambda site, options: Result(*deciding.findings(site, options)),
    "queue": lambda site, options: Result(*deciding.queue(site, options, _signer(site, options))),
    "approve": _approve,
    "send-back": _say("send_back", "sent back to its author"),
    "recall": _say("recall", "withdrawn; it goes first on the next stick"),
    "take-back": _take_back,
    "retire": _say("retire", "marked as out of date"),
    "hold": _say("hold", "paused at this site"),
    "release": _say("release", "no longer paused at this site"),
    "show": _show,
    "begin": lambda site, options: Result(*starting.begin(site, options, lambda: _signer(site, options))),
    "join": _join,
    "admit": _admit,
    "exchange": _exchange,
    "holds": _holds,
    "heartbeat": _heartbeat,
    "search": _search,
    "calendar": _calendar,
    **{verb: _seasonal_step(verb) for verb in seasonal.STEPS},
    "verify": _verify,
    "rebuild": _rebuild,
    "backup": _backup,
    "who": lambda site, options: Result(*roles.who(site, options)),
    **{verb: _role_step(verb) for verb in roles.STEPS},
    **{verb: _stop_step(verb) for verb in stopping.STEPS},
    "bed": lambda site, options: Result(*gardening.bed(site, options)),
    "compare": lambda site, options: Result(*comparing.compare(site, options, _reader(site, options))),
    "due": lambda site, options: Result(*gardening.due(site, options)),
}
