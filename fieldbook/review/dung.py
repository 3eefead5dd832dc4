"""Rules on germs in dung, dung water, compost tea and human waste, and on too much of it.

Not compost heat by itself (without a record of it, compost counts as raw dung here). Its one rule: the figure is the
law's; what is ours is marked so.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.practices.codes import HUMAN_WASTE_KINDS, RAW_DUNG_KINDS, TEA_KINDS
from fieldbook.quantities import (
    MANURES,
    NITROGEN_CEILING_G_M2_YEAR,
    load_g_m2,
    most_dung_kg_m2_year,
    nitrogen_g_kg,
    nitrogen_kg_year,
)
from fieldbook.review.case import Case, cases, in_any
from fieldbook.review.dressing import (
    claimed_waits_d,
    dressings,
    each_dressing,
    inputs_not_said,
    is_raw,
    meets,
    reaches_food,
    wait_kept_d,
    wait_needed_d,
)
from fieldbook.review.rule import Hit, Outcome, Rule, asked_at_start, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of, not_

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from fieldbook.practices import Entry
    from fieldbook.review.rule import Result

_CLAIM_TOO_SHORT_D = 7
_MONTH_D, _SIX_MONTHS_D = 30, 180
_ANIMAL_OF_DUNG = {"hen_manure": ("hen", "hen"), "cow_manure": ("cow", "dairy cow")}


def _too_soon(kind_of_contact: str, needed_d: int) -> Callable[[Case], Iterator[Outcome]]:
    def condition(case: Case) -> Iterator[Outcome]:
        kept = wait_kept_d(case)
        short = kept is not None and kept < needed_d
        known = short or case.number("wait_d") is not None
        truth = all_of(is_raw(case), meets(case, kind_of_contact), short if known else case.unsaid("wait_d"))
        yield from fires(truth, Hit(case.path("wait_d"), value=f"{kept} days", limit=f"{needed_d} days"))

    return condition


def _eaten_leaf(entry: Entry) -> Truth:
    return in_any(entry, "crop", lambda crop: any_of(crop.is_in("part", "leaf"), crop.flag("eaten_raw")))


def _raw_on_leaves(case: Case) -> Iterator[Outcome]:
    wet = any_of(case.is_in("mode", "foliar"), case.said("wets_edible") is True)
    truth = all_of(is_raw(case), wet, _eaten_leaf(case.entry), reaches_food(case))
    yield from fires(truth, Hit(case.path("mode"), value=str(case.said("mode") or "wets what is eaten")))


def _late_mixed_in(case: Case) -> Iterator[Outcome]:
    never = case.said("incorporated_after_d") == "never"
    late = True if never else case.above("incorporated_after_d", 3)
    solid = case.is_in("kind", *RAW_DUNG_KINDS, "compost", "worm_compost")
    truth = all_of(solid, is_raw(case), case.is_in("mode", "soil_surface"), late)
    value = str(case.said("incorporated_after_d"))
    yield from fires(truth, Hit(case.path("incorporated_after_d"), value=value, limit="3 days"))


def _unclean_compost_tea(case: Case) -> Iterator[Outcome]:
    teas = list(cases(case.entry, "tea"))
    of_compost = (tea.is_in("source_treatment", "composted") for tea in teas)
    from_compost = any_of(case.said("kind") == "compost_tea", *of_compost)
    is_tea = all_of(case.is_in("kind", *TEA_KINDS), from_compost, case.is_in("mode", "foliar"), reaches_food(case))
    for tea in teas or [Case(case.entry, "tea", {}, "facts.tea")]:
        hit = Hit(tea.path("ecoli_cfu_100ml"), value=_tested(tea), limit="0 in 100 mL")
        yield from fires(all_of(is_tea, _tea_is_unclean(tea)), hit)


def _tested(tea: Case) -> str:
    return "not tested" if tea.number("ecoli_cfu_100ml") is None else f"{tea.number('ecoli_cfu_100ml')} in 100 mL"


def _tea_is_unclean(tea: Case) -> Truth:
    found = tea.number("ecoli_cfu_100ml")
    return any_of(found is None or found > 0, tea.is_in("water", "surface"), not_(tea.is_in("additive", "none")))


def _claims_too_little(entry: Entry) -> Iterator[Outcome]:
    steeps = [case for case in dressings(entry) if case.said("kind") in (*TEA_KINDS, "animal_urine")]
    if inputs_not_said(entry):
        yield Unsaid(("facts.inputs",))
    elif any_of(*(all_of(is_raw(case), reaches_food(case)) for case in steeps)) is not False:
        claims = claimed_waits_d(entry)
        if not claims:
            yield Unsaid(("waiting",))
        for path, days in claims:
            if days <= _CLAIM_TOO_SHORT_D:
                yield Hit(path, value=f"{days} days", limit=f"more than {_CLAIM_TOO_SHORT_D} days")


def _too_much_nitrogen(case: Case) -> Iterator[Outcome]:
    if case.said("kind") not in RAW_DUNG_KINDS:
        if case.said("kind") is None:
            yield case.unsaid("kind")
        return
    load = _nitrogen_load(case)
    if load is None:
        yield from asked_at_start(case.entry, "area", case.path("area_m2"), ask=_dose_words(case))
    elif load > NITROGEN_CEILING_G_M2_YEAR:
        value, limit = f"{load:.1f} g/m² a year", f"{NITROGEN_CEILING_G_M2_YEAR} g/m² a year"
        yield Hit(case.path("area_m2"), value=value, limit=limit, dose=_dose_words(case))


def _nitrogen_load(case: Case) -> Decimal | None:
    """Give the nitrogen on the area, from the dung that is given or else from the animals that leave it."""
    species, animal = _ANIMAL_OF_DUNG.get(str(case.said("kind")), ("", ""))
    area, amount = case.number("area_m2"), case.number("amount_kg")
    if animal not in MANURES or not area:
        return None
    if amount is not None:
        given = amount * (case.number("times_a_year") or 1)
        return load_g_m2(nitrogen_g=given * nitrogen_g_kg(animal), area_m2=area)
    counts = [one.number("n") for one in cases(case.entry, "animals") if one.said("species") == species]
    known = [count for count in counts if count is not None]
    if not known:
        return None
    return load_g_m2(nitrogen_g=nitrogen_kg_year(animal, count=sum(known, Decimal(0))) * 1000, area_m2=area)


def _dose_words(case: Case) -> str:
    _, animal = _ANIMAL_OF_DUNG.get(str(case.said("kind")), ("", ""))
    if animal not in MANURES:
        return "the area that gets this dung (no figure for its nitrogen was read)"
    most = most_dung_kg_m2_year(animal)
    return f"the area, and at most {most:.1f} kg of {animal} dung per m² a year there, the rest to the shared heap"


def _human_waste(case: Case) -> Iterator[Outcome]:
    solid = case.is_in("kind", *(kind for kind in HUMAN_WASTE_KINDS if kind != "human_urine"))
    yield from fires(all_of(solid, reaches_food(case)), Hit(case.path("kind"), value=str(case.said("kind"))))


def _human_urine(case: Case) -> Iterator[Outcome]:
    is_urine = all_of(case.is_in("kind", "human_urine"), reaches_food(case))
    for_others = all_of(case.below("stored_d", _SIX_MONTHS_D), case.flag("eaten_by_others"))
    too_fresh = any_of(case.below("stored_d", _MONTH_D), for_others)
    stored = Hit(case.path("stored_d"), value=f"{case.said('stored_d')} days", limit="30 days, 180 where others eat")
    picked = Hit(case.path("wait_d"), value=f"{case.said('wait_d')} days", limit=f"{_MONTH_D} days")
    yield from fires(all_of(is_urine, too_fresh), stored)
    yield from fires(all_of(is_urine, case.below("wait_d", _MONTH_D)), picked)


def _animal_urine(case: Case) -> Iterator[Outcome]:
    wet = any_of(case.is_in("mode", "foliar"), case.said("wets_edible") is True)
    needed_d = wait_needed_d(case)
    kept = wait_kept_d(case)
    too_soon = case.unsaid("wait_d") if kept is None else kept < needed_d
    fresh = all_of(case.is_in("kind", "animal_urine"), is_raw(case), reaches_food(case), any_of(wet, too_soon))
    raw_leaf = in_any(case.entry, "crop", lambda crop: all_of(crop.is_in("part", "leaf"), crop.flag("eaten_raw")))
    touches = all_of(meets(case, "edible_soil"), raw_leaf)
    result: Result = "stop" if touches is True else "answer"
    hit = Hit(
        case.path("wait_d"), value=f"{case.said('wait_d')} days", limit=f"{needed_d} days, in soil", result=result
    )
    yield from fires(fresh, hit)


_FARMS = "It binds farms that sell as organic; we borrow it as the careful side."
_PRODUCE = "It binds farms that sell produce and excepts food for one's own use; we borrow it as the careful side."

RULES = (
    Rule(
        id="MAN-01",
        hazard="germs",
        result="stop",
        words="Wait at least 120 days between raw dung and the harvest of food that touches soil.",
        look=each_dressing(_too_soon("edible_soil", 120)),
        sources=("cfr205-c1-ii",),
        binds=_FARMS,
        whose="theirs",
        instead=("dung-day", "two-boxes", "checked-heap"),
        judged="start",
    ),
    Rule(
        id="MAN-02",
        hazard="germs",
        result="stop",
        words="Wait at least 90 days between raw dung and the harvest of food held off the soil.",
        look=each_dressing(_too_soon("edible_none", 90)),
        sources=("cfr205-c1-iii",),
        binds=_FARMS,
        whose="theirs",
        instead=("dung-day", "two-boxes", "checked-heap"),
        judged="start",
    ),
    Rule(
        id="MAN-03",
        hazard="germs",
        result="stop",
        words="Do not put raw dung water on leaves to be eaten, nor on what is eaten raw. Cooking alone is no excuse.",
        look=each_dressing(_raw_on_leaves),
        sources=("cfr112-56", "nosb2006"),
        binds=_PRODUCE,
        whose="theirs",
        instead=("heap-tea", "steep-on-dung-day", "steep-not-eaten"),
    ),
    Rule(
        id="MAN-04",
        hazard="germs",
        result="answer",
        words="Mix dung into the soil within three days.",
        look=each_dressing(_late_mixed_in),
        sources=("cornell-gaps",),
        binds="It is advice to farms.",
        whose="theirs",
        instead=("dung-day",),
    ),
    Rule(
        id="MAN-05",
        hazard="germs",
        result="stop",
        words="Only clean, tested water and finished compost may be used for tea on leaves, and no sugar.",
        look=each_dressing(_unclean_compost_tea),
        sources=("cfr112-51",),
        binds=_PRODUCE,
        whose="theirs",
        instead=("heap-tea", "leaf-steep"),
    ),
    Rule(
        id="MAN-06",
        hazard="germs",
        result="stop",
        words="No standard we know allows so short a wait after dung water. Remove it, or cite the health authority. A "
        "week of steeping is no treatment, and a wait of two days lacks 88 to 118 days.",
        look=_claims_too_little,
        sources=("steep-reckoning", "cfr205-c1-ii"),
        binds=_FARMS,
        whose="ours",
        figure="a week: 7 days or less are stopped",
        instead=("heap-tea", "steep-on-dung-day", "leaf-steep"),
    ),
    Rule(
        id="MAN-07",
        hazard="pollution",
        result="answer",
        words="More nitrogen than a careful limit: use a larger area.",
        look=each_dressing(_too_much_nitrogen),
        sources=("91-676-eec", "nrcs-manure"),
        binds="It limits the manure of a whole holding in the EU; we use it as a soft ceiling for a bed.",
        whose="part",
        figure="17 g of nitrogen per m² for a bed, where the law means a whole holding",
        instead=("larger-area",),
        judged="start",
    ),
    Rule(
        id="HUM-01",
        hazard="germs",
        result="stop",
        words="Human waste does not go on food gardens. Refer to the sanitation service.",
        look=each_dressing(_human_waste),
        sources=("cfr112-53", "who2006-v4"),
        binds=_PRODUCE,
        whose="theirs",
        instead=("sanitation",),
    ),
    Rule(
        id="URI-01",
        hazard="germs",
        result="stop",
        words="Human urine was stored too short, or is given too near the harvest.",
        look=each_dressing(_human_urine),
        sources=("who2006-v4",),
        binds="It is advice to health authorities.",
        whose="theirs",
        instead=("urine-stored",),
        judged="start",
    ),
    Rule(
        id="URI-02",
        hazard="germs",
        result="answer",
        words="Urine of rabbits, goats or cows is judged as raw dung until a source says otherwise: into the soil "
        "only, with the waits of raw dung.",
        look=each_dressing(_animal_urine),
        sources=("ours", "cfr205-c1-ii"),
        binds=_FARMS,
        whose="ours",
        figure="urine of animals is judged as raw dung",
        instead=("urine-on-dung-day", "steep-not-eaten"),
    ),
)
