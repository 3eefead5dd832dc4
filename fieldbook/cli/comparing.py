"""The verb of comparisons: ``compare``.

Its one rule: what a terminal says of a comparison is what its page says, failures as loud as successes.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.cli.arguments import UsageError
from fieldbook.site import read_entry_file
from fieldbook.trials.evidence import LEVEL_WORDS
from fieldbook.trials.wording import lines_of, lines_of_all

if TYPE_CHECKING:
    import argparse

    from fieldbook.site import Signer, Site
    from fieldbook.site.trial_papers import TrialPaper

Said = tuple[dict[str, Any], list[str]]


def compare(site: Site, options: argparse.Namespace, signer: Signer | None) -> Said:
    """List comparisons, or begin one, type in its counts, sign it, give it up; or sign one that was done on paper."""
    given = [name for name in ("begin", "counts", "finish", "drop", "whole") if getattr(options, name) is not None]
    if len(given) > 1:
        raise UsageError("one step at a time", hint="give one of --begin, --counts, --finish, --drop and --whole")
    if given and given[0] in {"counts", "finish", "drop"}:
        if not _is_number(options.number):
            raise UsageError("which comparison?", hint="say `--number N` as `compare` lists it")
        return _step(site, options, signer, given[0])
    if options.entry is None:
        return _listed(site)
    entry = site.entry_id(options.entry)
    if given:
        edition = _edition(site, options.entry, signer)
        if given[0] == "begin":
            return _paper(site.trials.begin(edition, read_entry_file(Path(options.begin)), signer=signer))
        return _signed(site.trials.tell_whole(edition, read_entry_file(Path(options.whole)), signer=signer))
    return _shown(site, entry)


def _is_number(text: str | None) -> bool:
    return text is not None and text.isascii() and text.isdigit() and len(text) < 10


def _edition(site: Site, text: str, signer: Signer | None) -> str:
    """The edition that is named, or of an entry the one to follow."""
    named, entry = site.edition_id(text), site.entry_id(text)
    return named if named != entry else site.page(entry, reader=signer).line.edition


def _step(site: Site, options: argparse.Namespace, signer: Signer | None, step: str) -> Said:
    trials, number = site.trials, int(options.number)
    if step == "drop":
        return _paper(trials.drop(number, options.drop))
    document = read_entry_file(Path(getattr(options, step)))
    if step == "finish":
        return _signed(trials.finish(number, document, signer=signer))
    rows = document.get("units")
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        hint = 'write {"units": [{"label": "1", "before": [9, 8], "counted": [3, 5], "day": 7}]}'
        raise UsageError("the file holds no list of counts", hint=hint)
    labels = [str(row["label"]) for row in trials.paper(number).body["units"]]
    for row in rows:
        typed = dict(row)
        label = str(typed.pop("label", ""))
        if label not in labels:
            raise UsageError(f"there is no {label!r} in this comparison", hint=f"its labels are {', '.join(labels)}")
        trials.count(number, labels.index(label), typed)
    return _paper(trials.paper(number))


def _signed(statement: str) -> Said:
    return {"statement": statement}, [f"Signed as {statement[:12]}. It goes on the next stick, whatever came of it."]


def _listed(site: Site) -> Said:
    papers, known = site.trials.under_way(), site.trials.every()
    document = {
        "under_way": [paper.as_document() for paper in papers],
        "signed": [one.as_document() for one in known],
    }
    lines = [line for paper in papers for line in _paper_lines(paper)]
    lines += [
        f"{one.statement[:12]}  entry {one.entry[:12]}, site {one.letter}, signed by {one.by}: {one.trial.outcome}"
        for one in known
    ]
    return document, lines or ["Nothing is compared here, and no comparison is known here."]


def _paper(paper: TrialPaper) -> Said:
    return paper.as_document(), _paper_lines(paper)


def _paper_lines(paper: TrialPaper) -> list[str]:
    ways = [next(iter(arm["name"].values())) for arm in paper.body["arms"]]
    state = f"given up: {paper.dropped}" if paper.dropped else f"{len(paper.left)} not counted yet"
    lines = [f"comparison {paper.number} of edition {paper.edition[:12]}: {state}"]
    return lines + [f"    {row['label']}: {ways[row['arm']]}{_counted(row)}" for row in paper.body["units"]]


def _counted(row: dict[str, Any]) -> str:
    if "lost" in row:
        return f", lost ({row['lost']})"
    counts = ", ".join(str(one) for one in row.get("counted", ()))
    return f", counted {counts} on day {row['day']}" if counts else ""


def _shown(site: Site, entry: str) -> Said:
    judged, say = site.trials.judged(entry), site.trials.say
    lines = [f"{LEVEL_WORDS[site.trials.level(entry)]}."]
    for group in judged.groups:
        lines += [line.words for line in lines_of(group, say=say)]
    lines += [line.words for line in lines_of_all(judged)]
    return site.trials.document(entry), [f"{line[0].upper()}{line[1:].rstrip('.')}." for line in lines]
