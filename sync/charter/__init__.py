"""The charter: who may say what, as a pure function of the set of statements.

Not a place that keeps anything, and no garden is known here. One rule: every order of arrival, every
repetition and every partition of one set gives one judgement.

Rooms: `forms` (bodies as values), `held` (the set as the judging asks for it), `chains` (who said what after what),
`versions` and `voices` (stewards), `cuts` (keys that are stopped), `handing_over` (what a next version keeps), `grants`
and `roles` (what is given, and the charter as people ask it), `redactions`, `settling` (what waits for what),
`verdict`, `judgement` (the order of all this), `supposing` (what would come of a word), `heartbeats` (how much is
stopped, for people).

Readings chosen where the rules leave room; each is the one that lets less happen:

- *Version 1* is no statement: a version whose ``after`` names no stewards' statement answers version 1.
- *A version* is its body together with what it answers. ``before`` is an object from key to list of ids.
- *Voices* for a reviewer, and for lifting a revocation, add up within one version of the stewards only.
- *A head that answers rivals* lets what its ``before`` keeps speak with any one of them.
- *A revocation* acts whatever it answers, and before its ``last`` is here. What lies behind a gap in a
  chain is not reached, so it is set aside until the gap is filled.
- *A voice* that is not enough alone waits. A grant not of its form is set aside; names are a letter and a
  number, letters of sites one of A to Z.
- *A redaction* acts on each of its targets as far as it may; it takes a file that somebody else's accepted
  statement has too only when a steward says it. An unknown kind can be taken back.
- *An adoption* lifts a cut, nothing else: not a missing role, not a wait, never one's own, no kind of ``sync/``.
- *A kind of roles* that names as critical a field unknown here waits for newer software and does nothing.
- *A stopped key* has no role in force but keeps its name; a site that is stopped stays the site of its people.
- *Two keys with one name at one site* both show more of their key, as two sites with one letter do.
"""

from sync.charter.ballots import Tally
from sync.charter.chains import last_statements
from sync.charter.handing_over import words_kept
from sync.charter.heartbeats import Heard, Heartbeat
from sync.charter.held import HeldSet
from sync.charter.judgement import Footing, Judgement, judge, judge_held, judge_more, settle_more, sites_to_take
from sync.charter.roles import Charter, PersonRole, ReviewerRole, SiteRole
from sync.charter.supposing import Supposed, suppose
from sync.charter.verdict import Verdict, Verdicts
from sync.charter.versions import Version

__all__ = [
    "Charter",
    "Footing",
    "Heard",
    "Heartbeat",
    "HeldSet",
    "Judgement",
    "PersonRole",
    "ReviewerRole",
    "SiteRole",
    "Supposed",
    "Tally",
    "Verdict",
    "Verdicts",
    "Version",
    "judge",
    "judge_held",
    "judge_more",
    "last_statements",
    "settle_more",
    "sites_to_take",
    "suppose",
    "words_kept",
]
