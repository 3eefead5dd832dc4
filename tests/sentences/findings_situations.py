"""Every finding of the rules of safety, with the practice that calls for it and each safe way that is shown beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import read_entry
from fieldbook.practices.codes import CAUTIONS
from fieldbook.review import RULES, findings_of
from fieldbook.review.ways import WAYS
from tests.review.known_drafts import BAD
from tests.review.practice import BARE, LETTUCE, MARIGOLD, TOMATO, practice
from tests.sentences.scene import Scene, Situation

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.practices import Entry

RAW = BARE | {"kind": "hen_manure", "treatment": "raw", "amount_kg": 1, "wait_d": 130}
TANK = {"cover": "lid", "volume_l": 300, "area_m2": 1, "prior_use": "food", "age_water_d": 2}
HENS = {"species": "hen", "n": 4, "area_m2": 3, "litter": "deep_litter", "over_water": False}
ROOF = {"kind": "roof_bed", "on_roof": True, "engineer_ok": True, "depth_cm": 20, "density": 1500}
SAFE = ["eyes", "hands", "mask", "skin"]
TEA = {"source_treatment": "composted", "water": "drinking", "additive": "sugar", "ecoli_cfu_100ml": 0}
SPRAY = {"plants": ["soap"], "soap_g_l": 5, "ppe": SAFE, "near_water_m": 20, "time_of_day": "dusk", "interval_d": 3}


def without(*keys: str) -> list[str]:
    """The cautions but these."""
    return [key for key in CAUTIONS if key not in keys]


# by rule: what a reviewer has before them, in plain words, and the facts of it
PRACTICES: dict[str, tuple[str, Entry]] = {
    "MAN-01": ("lettuce a month after raw dung", practice(inputs=[RAW | {"wait_d": 30}], crop=LETTUCE)),
    "MAN-02": (
        "tomatoes a month after raw dung",
        practice(inputs=[RAW | {"wait_d": 30, "contact": "edible_none"}], crop=TOMATO),
    ),
    "MAN-03": ("raw dung water on lettuce leaves", practice(inputs=[RAW | {"mode": "foliar"}], crop=LETTUCE)),
    "MAN-04": (
        "dung left on top of the soil for five days",
        practice(inputs=[RAW | {"mode": "soil_surface", "incorporated_after_d": 5}], crop=LETTUCE),
    ),
    "MAN-05": (
        "compost tea with sugar on leaves",
        practice(inputs=[BARE | {"kind": "compost_tea", "mode": "foliar", "wait_d": 130}], tea=TEA, crop=LETTUCE),
    ),
    "MAN-06": (
        "two days after dung water",
        practice(
            {"waiting": [{"before": "harvest", "days_min": 2, "after": "tea"}]},
            inputs=[BARE | {"kind": "manure_tea", "treatment": "raw", "wait_d": 130}],
            crop=LETTUCE,
        ),
    ),
    "MAN-07": ("100 kg of dung on 1 m²", practice(inputs=[RAW | {"amount_kg": 100, "area_m2": 1}], crop=LETTUCE)),
    "HUM-01": ("human waste under lettuce", practice(inputs=[BARE | {"kind": "human_faeces"}], crop=LETTUCE)),
    "URI-01": (
        "human urine stored for ten days",
        practice(inputs=[BARE | {"kind": "human_urine", "stored_d": 10, "wait_d": 60}], crop=LETTUCE),
    ),
    "IRR-01": (
        "pond water on lettuce two days before picking",
        practice(irrigation={"source": "pond", "mode": "foliar", "wait_d": 2}, crop=LETTUCE),
    ),
    "DRN-01": ("an open bucket", practice(vessel=TANK | {"cover": "none"})),
    "MOS-01": ("water that stands open for nine days", practice(vessel=TANK | {"cover": "none", "age_water_d": 9})),
    "FSH-01": ("ten hens over 1 m² of water", practice(animals=HENS | {"n": 10, "over_water": True}, vessel=TANK)),
    "FSH-05": (
        "fish for food in 15 litres",
        practice(fish={"purpose": "food", "aeration": False}, vessel=TANK | {"volume_l": 15}),
    ),
    "FSH-06": (
        "fish fed with dung, without the caution",
        practice(fish={"manure_fed": True}, vessel=TANK, cautions=without("C15")),
    ),
    "WCK-01": ("a wick of 40 cm", practice(wick={"rise_cm": 40, "medium": "soil"})),
    "MAT-01": ("a paint tin for water", practice(vessel=TANK | {"prior_use": "paint"})),
    "STR-01": ("a bed on a roof that nobody checked", practice(structure=ROOF | {"engineer_ok": False})),
    "STR-02": ("300 kg/m² on a roof for 100", practice(structure=ROOF | {"safe_load_kg_m2": 100})),
    "STR-03": (
        "a tower of 2 m on half a metre",
        practice(structure={"kind": "tower", "height_cm": 200, "diameter_cm": 50, "braced": False}),
    ),
    "PST-01": ("chilli spray with nothing covered", practice(spray=SPRAY | {"plants": ["chilli"], "ppe": []})),
    "PST-02": ("12 g of soap in a litre", practice(spray=SPRAY | {"soap_g_l": 12})),
    "PST-03": ("neem beside a pond", practice(spray=SPRAY | {"plants": ["neem"], "near_water_m": 2})),
    "PST-04": ("spraying flowers by day", practice(spray=SPRAY | {"time_of_day": "day"}, crop=MARIGOLD)),
    "PST-05": ("marigold juice on bare skin", practice(spray=SPRAY | {"plants": ["tagetes"], "ppe": []})),
    "PST-06": ("tobacco water on lettuce", practice(spray=SPRAY | {"plants": ["tobacco"]}, crop=LETTUCE)),
    "PST-07": ("an effect of 40 per cent, says somebody", practice(evidence={"effect": 40})),
    "PST-08": (
        "a spray on lettuce without a wait",
        practice(spray={k: v for k, v in SPRAY.items() if k != "interval_d"}, crop=LETTUCE),
    ),
    "ANI-01": ("20 hens on 1 m²", practice(animals=HENS | {"n": 20, "area_m2": 1})),
    "ZOO-01": (
        "small children handle hens",
        practice(animals=HENS, task={"kind": ["handling_birds"], "audience": ["under_5"]}),
    ),
    "ZOO-02": ("hens without the caution on sick birds", practice(animals=HENS, cautions=without("C13"))),
    "ZOO-03": (
        "droppings to fish while bird flu is near",
        practice(animals=HENS | {"droppings_to": ["fish_feed"]}, area={"bird_flu": "affected"}),
    ),
    "GEN-01": (
        "a mixing ratio from nowhere",
        practice({"ratios": [{"a": {"en": "soap"}, "b": {"en": "water"}, "by": "mass", "value": 100}]}),
    ),
    "GEN-03": (
        "tyres used, and warned against",
        practice({"materials": [{"item": {"en": "tyre"}}]}, warned_against={"materials": {"kind": "tyre"}}),
    ),
    "GEN-02": ("a bucket without the caution on drowning", practice(vessel=TANK, cautions=without("C04"))),
}
PRACTICES |= {draft.rule: (draft.title, draft.entry) for draft in BAD if draft.rule not in PRACTICES}
ASKED = {
    "a dose of dung on an area that is not said": ("MAN-07", practice(inputs=[{"kind": "hen_manure"}], crop=LETTUCE)),
    "dung of goats, whose nitrogen nobody knows": ("MAN-07", practice(inputs=[{"kind": "goat_manure"}], crop=LETTUCE)),
    "hens nobody counted": ("ANI-01", practice(animals={"species": "hen"})),
    "water whose cover is not said": ("DRN-01", practice(vessel={"volume_l": 20})),
    "birds over water nobody counted": ("FSH-01", practice(animals={"species": "hen", "over_water": True})),
    "a container whose past is not said": ("MAT-01", practice(vessel={"volume_l": 20})),
    "a roof whose check is not said": ("STR-01", practice(structure={"kind": "roof_bed"})),
    "a roof whose limit is not said": ("STR-02", practice(structure=ROOF)),
    "droppings to fish where bird flu is not said": (
        "ZOO-03",
        practice(animals=HENS | {"droppings_to": ["fish_feed"]}, area={}),
    ),
}
ASKED |= {
    "rabbits nobody counted": ("ANI-02", practice(animals={"species": "rabbit"})),
    "goats nobody counted": ("ANI-03", practice(animals={"species": "goat"})),
    "fish nobody weighed": ("FSH-02", practice(fish={"species": "tilapia"}, vessel=TANK)),
    "soil from nobody says where": ("SOI-01", practice(soil={}, crop=LETTUCE)),
}
NOTHING_SAID = read_entry({"kind": "teaching", "title": {"en": "A practice"}, "facts": {}})
TAILS = (" Missing: ", " Dose: ")


def found(entry: Entry, rule: str, way: int = 0, *, result: str = "") -> Callable[[Scene], object]:
    """What a rule finds, and one of the ways that stand with it."""

    def come(_: Scene) -> tuple[str, str]:
        one = next(one for one in findings_of(entry) if one.rule == rule and one.result in (result or one.result))
        return one.words, one.instead[way].words

    return come


def bare(come: Callable[[Scene], Any]) -> Callable[[Scene], object]:
    """A finding without what is added to it for one case."""

    def without_tail(scene: Scene) -> tuple[str, str]:
        words, way = come(scene)
        for tail in TAILS:
            words = words.partition(tail)[0]
        return words, way

    return without_tail


def of_rules() -> list[Situation]:
    """Each rule as it fires, once for each way to do it instead."""
    return [
        Situation(rule.words, WAYS[key].words, when, bare(found(entry, rule.id, n)), finding=True)
        for rule in RULES
        for when, entry in [PRACTICES[rule.id]]
        for n, key in enumerate(rule.instead)
    ]


def of_places() -> list[Situation]:
    """What the entry must itself ask for at each place."""
    says = "{rule} The entry must itself ask for this before anyone starts: {ask}."
    way = WAYS["ask-first"].words
    return [
        Situation(says, way, when, found(entry, rule, result="answer"), finding=True)
        for when, (rule, entry) in ASKED.items()
    ]


SITUATIONS = (
    *of_rules(),
    *of_places(),
    Situation(
        "{rule} Missing: {key}, {name}.",
        WAYS["add-caution"].words,
        "a bucket without its caution",
        found(PRACTICES["GEN-02"][1], "GEN-02"),
        finding=True,
    ),
    Situation(
        "{rule} Dose: {dose}.",
        WAYS["larger-area"].words,
        "too much dung, with the dose that would do",
        found(PRACTICES["MAN-07"][1], "MAN-07"),
        finding=True,
    ),
    *(
        Situation(
            "Not said: {things}. So this cannot be judged: {rule}",
            WAYS[rule.instead[0]].words,
            f"nothing is said that {rule.id} asks",
            found(NOTHING_SAID, rule.id, result="unknown"),
            finding=True,
        )
        for rule in RULES
        if rule.id in {"GEN-02", "MAN-01", "PST-04"}
    ),
)
