"""Drafts as the four sites of the invented network write them: bad ones with their rule, good ones that none may stop.

Not the edge cases of a rule, which stand in the tests of its theme. Its one rule: a draft says what somebody there would
really write, and leaves out what they would leave out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tests.review.practice import ADULTS, LETTUCE, MARIGOLD, TOMATO, practice

if TYPE_CHECKING:
    from fieldbook.practices import Entry

KALE = {"name": "kale", "family": "cabbage", "part": "leaf", "eaten_raw": False, "flowering": False}
AMARANTH = {"name": "amaranth", "family": "other", "part": "leaf", "eaten_raw": True, "flowering": False}
CARROT = {"name": "carrot", "family": "other", "part": "root", "eaten_raw": True, "flowering": False}
MAIZE = {"name": "maize", "family": "grass", "part": "seed", "eaten_raw": False, "flowering": False}
IN_SOIL = {"treatment": "raw", "mode": "soil_incorporated", "contact": "edible_soil"}
ON_LEAVES = {"treatment": "raw", "mode": "foliar", "contact": "edible_soil"}
CAN = {"volume_l": 20, "cover": "lid", "age_water_d": 3, "prior_use": "food"}
DRUM = {"volume_l": 200, "area_m2": "0.25", "cover": "lid", "age_water_d": 5, "prior_use": "food"}
HENS = {"species": "hen", "n": 6, "area_m2": 2, "litter": "deep_litter", "over_water": False, "droppings_to": ["heap"]}
RABBIT = {"species": "rabbit", "n": 1, "weight_kg": "4.2", "over_water": False, "droppings_to": ["heap"]}
FISH = {"species": "tilapia", "n": 3, "kg": "0.2", "aeration": False, "exchange_pct_d": 3, "manure_fed": False}
SOAP = {"plants": ["soap"], "soap_g_l": 5, "ppe": ["eyes"], "interval_d": 1, "near_water_m": 20, "time_of_day": "dusk"}
TWO_DAYS = {"waiting": [{"before": "harvest", "days_min": 2, "after": "tea", "source": "common practice"}]}


@dataclass(frozen=True)
class Draft:
    """One draft.

    Attributes:
        at: the letter of the site that wrote it.
        title: what it is called there.
        groups: its facts; groups that are not given are known not to be present.
        rule: the rule that must catch it; empty for a good draft.
        result: what that rule must give.
        document: further fields.
    """

    at: str
    title: str
    groups: dict[str, Any]
    rule: str = ""
    result: str = ""
    document: dict[str, Any] = field(default_factory=dict)

    @property
    def entry(self) -> Entry:
        return practice({"title": {"en": self.title}, **self.document}, **self.groups)

    @property
    def id(self) -> str:
        return f"{self.rule or 'good'}, {self.at}: {self.title}"


def stopped(rule: str, at: str, title: str, /, document: dict[str, Any] | None = None, **groups: Any) -> Draft:
    return Draft(at, title, groups, rule, "stop", document or {})


def asked(rule: str, at: str, title: str, /, document: dict[str, Any] | None = None, **groups: Any) -> Draft:
    return Draft(at, title, groups, rule, "answer", document or {})


def good(at: str, title: str, /, document: dict[str, Any] | None = None, **groups: Any) -> Draft:
    return Draft(at, title, groups, document=document or {})


DUNG_STEEP = {"kind": "manure_tea", **ON_LEAVES, "wait_d": 2}
RAW_TEA = {"source_treatment": "raw", "water": "rain", "additive": "none", "mode": "foliar"}

BAD = (
    stopped("MAN-01", "C", "Rabbit dung under lettuce", inputs=[{"kind": "rabbit_manure", **IN_SOIL, "wait_d": 30}],
            crop=LETTUCE),
    stopped("MAN-02", "L", "Hen dung to staked tomatoes",
            inputs=[{"kind": "hen_manure", **IN_SOIL, "contact": "edible_none", "wait_d": 60}], crop=TOMATO),
    stopped("MAN-03", "C", "Rabbit-manure steep, 20 L, on the leaves", inputs=[{**DUNG_STEEP, "wait_d": 130}], tea=RAW_TEA,
            crop=KALE),
    asked("MAN-04", "T", "Goat dung strewn round the plants",
          inputs=[{"kind": "goat_manure", **IN_SOIL, "mode": "soil_surface", "wait_d": 130,
                   "incorporated_after_d": "never"}], crop=MAIZE),
    stopped("MAN-05", "L", "Compost tea with sugar",
            inputs=[{"kind": "compost_tea", **ON_LEAVES, "treatment": "composted", "wait_d": 0}],
            tea={"source_treatment": "composted", "water": "drinking", "additive": "sugar", "ecoli_cfu_100ml": 0},
            crop=LETTUCE),
    stopped("MAN-06", "C", "Dung steep, pick after two days", TWO_DAYS, inputs=[DUNG_STEEP], tea=RAW_TEA, crop=KALE),
    asked("MAN-07", "L", "All dung of 40 hens on one small bed",
          inputs=[{"kind": "hen_manure", **IN_SOIL, "amount_kg": 40, "area_m2": 2, "wait_d": 130}], crop=MAIZE),
    stopped("CMP-01", "S", "Closed drum compost, hot for two days",
            compost={"of_dung": True, "system": "in_vessel", "temp_c": [60], "days_hot": 2}),
    stopped("CMP-02", "L", "Turned heap of hen dung, turned four times",
            compost={"of_dung": True, "system": "turned", "temp_c": [60], "days_hot": 15, "turnings": 4}),
    asked("CMP-03", "T", "Goat dung and straw, ready when it is brown", compost={"of_dung": True, "system": "static"}),
    asked("CMP-04", "L", "A box of kitchen greens only", compost={"of_dung": False, "system": "box", "cn_start": 15}),
    asked("CMP-05", "T", "A heap in the dry wind", compost={"of_dung": False, "system": "box", "moisture_pct": 30}),
    asked("CMP-06", "S", "A heap that steams", compost={"of_dung": False, "system": "static", "temp_c": [60, 82]}),
    stopped("HUM-01", "S", "Latrine sludge under palms and greens", inputs=[{"kind": "sludge", **IN_SOIL}],
            crop=AMARANTH),
    stopped("URI-01", "T", "Urine from the tents, a week old",
            inputs=[{"kind": "human_urine", **IN_SOIL, "stored_d": 7, "eaten_by_others": True, "wait_d": 40}], crop=MAIZE),
    asked("URI-02", "C", "Rabbit urine under maize", inputs=[{"kind": "animal_urine", **IN_SOIL, "wait_d": 20}],
          crop=MAIZE),
    stopped("GRW-01", "L", "Kitchen tub water for the sacks",
            irrigation={"source": "greywater", "origin": ["kitchen"], "mode": "foot"}, crop=TOMATO),
    stopped("WAT-01", "L", "Water from the drain by the door",
            irrigation={"source": "drain", "mode": "foot", "wait_d": 2, "barriers": ["washing"]}, crop=LETTUCE),
    stopped("FLD-01", "S", "Greens after the flood are washed and sold",
            irrigation={"source": "flood", "mode": "foot", "wets_edible": True}, crop=AMARANTH),
    stopped("IRR-01", "S", "Drum water over the leaves", irrigation={"source": "drum", "mode": "foliar", "wait_d": 1},
            crop=AMARANTH),
    stopped("GAS-01", "S", "Cleaning the shallow well", task={"kind": ["pit_or_tank_work"], "audience": ["adults"]},
            cautions=["C22"]),
    asked("FSH-01", "S", "Four hens over one drum",
          animals={**HENS, "n": 4, "over_water": True}, vessel={**DRUM, "area_m2": 1}, fish=FISH),
    asked("FSH-02", "S", "Twenty fish in a drum", fish={**FISH, "n": 20, "kg": 2, "purpose": "food"}, vessel=DRUM),
    asked("FSH-03", "S", "A drum that smells", water={"tan": 1, "ph": 8, "temp_c": 24, "do": 5}),
    asked("FSH-04", "S", "Fish that gulp at dawn", water={"tan": 0, "ph": 7, "temp_c": 28, "do": 2}),
    asked("FSH-05", "S", "Fish meals from a bucket", fish={**FISH, "purpose": "food"}, vessel={**CAN, "area_m2": 1}),
    stopped("FSH-06", "S", "Duck dung feeds the fish", fish={**FISH, "manure_fed": True}, vessel=DRUM, cautions=[]),
    stopped("DRN-01", "S", "A drum under an old fishing net", vessel={**DRUM, "cover": "mesh"}),
    asked("MOS-01", "T", "Cut jerrycans that stand for two weeks", vessel={**CAN, "cover": "none", "age_water_d": 14}),
    asked("STR-01", "L", "A bed on the roof of the hen house", structure={"kind": "roof_bed", "on_roof": True}),
    stopped("STR-02", "L", "Thirty centimetres of soil on the roof",
            structure={"kind": "roof_bed", "depth_cm": 30, "density": 1922, "safe_load_kg_m2": "97.6"}),
    asked("STR-03", "C", "A sack as tall as a man",
          structure={"kind": "sack", "on_roof": False, "height_cm": 180, "diameter_cm": 40, "braced": False}),
    asked("WCK-01", "L", "A cotton rag that lifts water 60 cm", wick={"rise_cm": 60, "medium": "cloth"}),
    stopped("MAT-01", "L", "Paint tins as plant pots", vessel={**CAN, "prior_use": "paint"}),
    stopped("MAT-02", "C", "A bed of railway sleepers", materials={"kind": "timber", "treatment": "railway"},
            crop=LETTUCE),
    asked("MAT-03", "T", "Carrots in car tyres", materials={"kind": "tyre", "liner": False}, crop=CARROT),
    asked("SOI-01", "L", "Soil from beside the road", soil={"source": "roadside"}, crop=CARROT),
    stopped("PST-01", "C", "Chilli-garlic spray", spray={**SOAP, "plants": ["chilli", "garlic"], "ppe": ["hands"]}),
    stopped("PST-02", "L", "Strong soap for aphids", spray={**SOAP, "soap_g_l": 20}),
    stopped("PST-03", "S", "Neem spray beside the fish drums", spray={**SOAP, "plants": ["neem"], "near_water_m": 2}),
    asked("PST-04", "L", "Soap at noon", spray={**SOAP, "time_of_day": "day"}, crop={**TOMATO, "flowering": True}),
    asked("PST-05", "C", "Marigold juice", spray={**SOAP, "plants": ["tagetes"], "ppe": ["eyes"]}),
    stopped("PST-06", "T", "Strong leaf-smoke water spray", spray={**SOAP, "plants": ["tobacco"], "ppe": ["eyes", "skin"]},
            crop=KALE),
    asked("PST-07", "L", "A spray that kills nine of ten", evidence={"effect": 90}),
    asked("PST-08", "C", "Garlic water", spray={"plants": ["garlic"], "ppe": [], "time_of_day": "dusk"}, crop=KALE),
    stopped("ANI-01", "L", "Twenty hens in a small room", animals={**HENS, "n": 20, "area_m2": "2.2"}),
    asked("ANI-02", "C", "A rabbit in a crate", animals={**RABBIT, "area_m2": "0.36"}),
    asked("ANI-03", "T", "Three goats in a pen of thorns",
          animals={"species": "goat", "n": 3, "area_m2": 4, "over_water": False, "droppings_to": ["heap"]}),
    stopped("ANI-04", "L", "A closed hen house", animals={**HENS, "ammonia_ppm": 30}),
    stopped("ZOO-01", "S", "Children feed the ducks", animals={**HENS, "species": "duck"},
            task={"kind": ["handling_birds"], "audience": ["under_5"]}),
    asked("ZOO-02", "L", "Hens that die one after another", animals=HENS, cautions=["C12", "C14", "C23"]),
    stopped("ZOO-03", "S", "Hen droppings as fish feed", animals={**HENS, "droppings_to": ["fish_feed"]},
            area={"bird_flu": "affected"}),
    stopped("NUT-01", "C", "Vitamin A of kale and carrot", nutrition=[
        {"nutrient": "vitamin A", "value": 500, "unit": "µg RAE", "table": "SR28", "food_no": "11233", "form": "raw"},
        {"nutrient": "vitamin A", "value": 278, "unit": "µg RE", "table": "SR28", "food_no": "11004", "form": "boiled"}]),
    asked("NUT-02", "L", "Iron of amaranth", nutrition={"nutrient": "iron", "value": "2.3", "unit": "mg"}),
    stopped("PLT-01", "C", "Nightshade leaves for the pot", crop={**KALE, "name": "African nightshade"}, cautions=["C24"]),
    asked("SPC-01", "T", "Fifteen in a hundred more in triangles",
          bed={"length_mm": 1000, "width_mm": 600, "spacing_mm": 250, "pattern": "triangular", "count": 9}),
    asked("GEN-01", "T", "Ash to soap, one to ten", {"ratios": [{"a": "ash", "b": "soap", "by": "mass", "value": 10}]}),
    stopped("GEN-02", "S", "Show fish without a word on drowning", fish={**FISH, "purpose": "showing"}, vessel=DRUM,
            cautions=["C04", "C15"]),
    stopped("GEN-03", "T", "Never tobacco; boil the tobacco", {"materials": [{"item": {"en": "tobacco leaves"}}]},
            warned_against={"spray": {"plants": ["tobacco"]}}),
)  # fmt: skip

GOOD = (
    good("C", "Rabbit dung on dung day", inputs=[{"kind": "rabbit_manure", **IN_SOIL, "wait_d": 120}], crop=LETTUCE,
         task=ADULTS, demands=["area"]),
    good("L", "Hen dung before staked tomatoes",
         inputs=[{"kind": "hen_manure", **IN_SOIL, "contact": "edible_none", "wait_d": 90, "amount_kg": 3, "area_m2": 2}],
         crop=TOMATO, task=ADULTS),
    good("T", "Goat dung round the marigolds",
         inputs=[{"kind": "goat_manure", **IN_SOIL, "contact": "not_eaten", "wait_d": 0}], crop=MARIGOLD, task=ADULTS),
    good("C", "Leaf box compost", inputs=[{"kind": "plant_compost", **IN_SOIL, "treatment": "composted", "wait_d": 0}],
         compost={"of_dung": False, "system": "box", "cn_start": 30, "moisture_pct": 55}, crop=KALE),
    good("L", "One checked heap",
         compost={"of_dung": True, "system": "windrow", "temp_c": [58, 61, 60], "days_hot": 15, "turnings": 5,
                  "cn_start": 30, "moisture_pct": 50}),
    good("L", "Tea from the checked heap, to the foot",
         inputs=[{"kind": "compost_tea", "treatment": "composted", "mode": "drench", "contact": "edible_none",
                  "wets_edible": False, "wait_d": 0}],
         tea={"source_treatment": "composted", "water": "drinking", "additive": "none", "ecoli_cfu_100ml": 0},
         compost={"of_dung": True, "system": "static", "temp_c": [60, 60, 60], "days_hot": 3}, crop=TOMATO),
    good("C", "Steep of leaves only", inputs=[{"kind": "leaf_steep", "mode": "drench", "contact": "edible_none"}],
         tea={"source_treatment": "plants", "water": "rain", "additive": "none"}, crop=KALE, vessel=CAN),
    good("C", "Wall of bottles", vessel={"volume_l": "1.5", "cover": "narrow_neck", "age_water_d": 6,
                                         "prior_use": "drinking_water"},
         structure={"kind": "bottle_wall", "on_roof": False, "height_cm": 160, "braced": True},
         wick={"rise_cm": 12, "medium": "cloth"}, irrigation={"source": "clean", "mode": "wick"}, crop=LETTUCE),
    good("T", "Wheat-flour sack, low", structure={"kind": "sack", "on_roof": False, "height_cm": 60, "diameter_cm": 40,
                                                  "braced": False}, crop=AMARANTH, irrigation={"source": "clean"}),
    good("L", "Six hens on litter", animals=HENS, task={"kind": ["handling_birds"], "audience": ["adults"]}),
    good("C", "A doe in her hutch", animals={**RABBIT, "area_m2": "0.48"}, task=ADULTS),
    good("T", "Two goats with room", animals={"species": "goat", "n": 2, "area_m2": 4, "droppings_to": ["heap"]}),
    good("S", "Show fish in a drum", fish={**FISH, "purpose": "showing"}, vessel=DRUM,
         water={"tan": "0.99", "ph": 8, "temp_c": 24, "do": 5}),
    good("S", "Hens and fish side by side", animals={**HENS, "n": 4}, fish={**FISH, "purpose": "showing"}, vessel=DRUM,
         irrigation={"source": "drum", "mode": "foot", "wait_d": 12}, crop=MAIZE),
    good("L", "Soap for aphids", spray=SOAP, crop=KALE),
    good("C", "Garlic water, none published", spray={**SOAP, "plants": ["garlic"], "interval_d": "none published"},
         crop=KALE),
    good("L", "Bed on posts, the builder asked", structure={"kind": "roof_bed", "depth_cm": 10, "density": 1000},
         demands=["engineer_ok", "safe_load"], crop=KALE),
    good("T", "Marigolds in tyres", materials={"kind": "tyre", "liner": False}, crop=MARIGOLD),
    good("L", "Laundry water to the maize", irrigation={"source": "greywater", "origin": ["laundry"], "mode": "foot"},
         crop=MAIZE),
    good("S", "Maize after ten dry days", irrigation={"source": "drain", "mode": "foot", "wait_d": 6,
                                                      "wets_edible": False}, crop=MAIZE),
    good("C", "Kale in squares",
         bed={"length_mm": 1000, "width_mm": 600, "spacing_mm": 300, "pattern": "square", "count": 6}, crop=KALE),
    good("C", "Nightshade with its caution", crop={**KALE, "name": "African nightshade"}),
    good("L", "Vitamin A in one unit", nutrition={"nutrient": "vitamin A", "value": 500, "unit": "µg RAE",
                                                  "table": "SR28", "food_no": "11233", "form": "raw"}),
)  # fmt: skip
