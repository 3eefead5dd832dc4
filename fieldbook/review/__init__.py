"""Review: the rules of safety as data, the states, the standings and the decisions of people.

Not signing and not storing. Its one rule: everything here is a pure function of values.

How ``facts`` must be filled so that an entry is judged rightly:

- Fill a group (``spray``, ``vessel`` ...) where the practice has such a thing; name it in ``facts.none`` where it is
  known to have none. A group that is in neither place is *not said*, and every rule that needs it says so.
- ``facts.demands`` lists what the entry itself tells people to have checked before they start (``engineer_ok``,
  ``safe_load``, ``prior_use``, ``cover``, ``bird_flu``, ``area``, ``soil_source``): facts of a place that no author
  can know elsewhere. Without it the reviewer must answer.
- ``facts.cautions`` lists the keys of the cautions that stand with the entry; GEN-02 names those that are missing.
- What the text advises against goes into ``facts.warned_against``, in the same groups; no rule judges it.
- Raw dung, dung steeps, animal urine, and compost without measured heat are judged alike. Waits are whole days.
"""

from fieldbook.review.approval import ApprovalError, approval_body, approval_faults
from fieldbook.review.bodies import BODIES, TOLD_MAX_CHARACTERS, body_faults
from fieldbook.review.changing import changed
from fieldbook.review.engine import RULES, RULES_VERSION, findings_at_start, findings_of, rules_of_ours, source_words
from fieldbook.review.folding import Edition, EditionReview, Voice, entry_review
from fieldbook.review.place import PLACE_FACTS, PlaceError, place_facts_wanted, read_place
from fieldbook.review.rule import Finding, Rule, Way
from fieldbook.review.states import MOVES, STATES, Move, Standing, State, StateError, moved

__all__ = [
    "BODIES",
    "MOVES",
    "PLACE_FACTS",
    "RULES",
    "RULES_VERSION",
    "STATES",
    "TOLD_MAX_CHARACTERS",
    "ApprovalError",
    "Edition",
    "EditionReview",
    "Finding",
    "Move",
    "PlaceError",
    "Rule",
    "Standing",
    "State",
    "StateError",
    "Voice",
    "Way",
    "approval_body",
    "approval_faults",
    "body_faults",
    "changed",
    "entry_review",
    "findings_at_start",
    "findings_of",
    "moved",
    "place_facts_wanted",
    "read_place",
    "rules_of_ours",
    "source_words",
]
