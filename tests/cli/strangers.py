"""Practice entries as a stranger writes them who has read what the fields mean, and nothing of the code.

Numbers come as integers and as decimal strings, items as ids and as words by language, facts of one thing as an object
or a list, codes with spaces, hyphens or capitals. What stands in them is what some growers do (common practice), not
what anybody should do: several are there to be stopped.
"""

from __future__ import annotations

from typing import Any

Document = dict[str, Any]

MINIMAL: Document = {"kind": "teaching", "title": {"en": "How to hold a hoe"}}

STEEP: Document = {
    "kind": "manure",
    "title": {"en": "Rabbit dung steep on leaves", "sw": "Maji ya samadi ya sungura kwenye majani"},
    "summary": {"en": "A sack of droppings hangs in a covered can; thinned, it feeds the leaves."},
    "topics": ["steeped-manure", "rabbit-manure", "manure-waiting-time"],
    "local_names": [{"lang": "en", "name": "manure tea", "sure": "yes", "said_by_role": "trainer"}],
    "taxa": [{"role": "ingredient", "scientific": "Oryctolagus cuniculus", "names_ref": "rabbit"}],
    "space": {"area_m2": {"value": "2", "unit": "area-square-meter"}, "floor": True},
    "sun_h": {"low": "4", "high": 8},
    "water_l_day": {"value": "5", "unit": "volume-liter"},
    "water_kind": ["clean", "re-used kitchen"],
    "climate": {"tmin_c": "5", "tmax_c": 35, "frost_ok": False},
    "season": {"trigger": "any"},
    "people": {
        "strength": "light",
        "hands": 1,
        "hours": {"value": "1.5", "unit": "duration-hour"},
        "can_child": "watched",
    },
    "cost": {"class": "none"},
    "materials": [
        {
            "item": {"en": "rabbit droppings"},
            "qty": {"value": "2", "unit": "mass-kilogram", "low": "1.5", "high": "3"},
            "substitutions": [{"item": "goat", "ratio": "1", "verdict": "unknown", "source": "common practice"}],
        },
        {"item": "water", "qty": {"value": 10, "unit": "volume-liter"}},
        {
            "item": {"en": "can with a lid"},
            "reclaimed": True,
            "must_not_have_held": ["paint", "fuel", "pesticide", "unknown"],
        },
    ],
    "tools": [{"en": "stick"}, "sack"],
    "ratios": [{"a": {"en": "steep"}, "b": "water", "by": "volume", "value": "2", "low": "2", "high": "3"}],
    "steps": [
        {"n": 1, "say": {"en": "Hang the sack of droppings in the can of water and close it."}, "day_offset": 0},
        {"n": 2, "say": {"en": "Shake the sack."}, "day_offset": 3, "duration": "PT5M"},
        {
            "n": 3,
            "say": {"en": "Open the can; thin 1 part with 2 parts of water."},
            "day_offset": 10,
            "do_not": {"en": "Do not use it undiluted: it scorches."},
            "materials": ["water"],
        },
        {
            "n": 4,
            "say": {"en": "Pour it on the leaves."},
            "day_offset": 10,
            "repeat": {"every_days": 7, "until": "harvest"},
        },
        {"n": 5, "say": {"en": "Cut the leaves."}, "day_offset": 12},
    ],
    "waiting": [
        {"before": "eating raw", "days_min": 2, "condition": {"en": "after washing"}, "source": "common practice"}
    ],
    "storage": {"how": {"en": "in the shade"}, "shelf_days": "14", "label": {"en": "Dung water, not to drink"}},
    "first_result_days": 14,
    "facts": {
        "inputs": [
            {
                "kind": "rabbit manure",
                "treatment": "rested",
                "amount_kg": "2",
                "area_m2": "2",
                "wait_d": 2,
                "mode": "foliar",
                "contact": "edible_soil",
            }
        ],
        "harvest": {"claimed_wait_d": "2"},
        "tea": {"source_treatment": "raw", "water": "drinking", "additive": "none", "mode": "foliar"},
        "crop": [{"name": "kale", "eaten_raw": True, "part": "leaf", "flowering": False}],
        "vessel": {"volume_l": "20", "cover": "lid", "prior_use": "food", "age_water_d": 10},
        "none": ["fish", "animals", "spray", "structure", "wick", "irrigation", "evidence", "task"],
        "demands": ["prior_use", "area", "cover", "bird_flu"],
        "cautions": ["C01", "C04", "C09", "C10", "C13", "C14"],
    },
    "hazards": [
        {
            "code": "C01",
            "likelihood": "likely",
            "who": ["eaters"],
            "control": {"en": "Wait."},
            "raised_by": "MAN-01",
        }
    ],
    "protect": ["gloves", "wash hands", "keep children away"],
    "first_aid": {"en": "Wash with soap."},
    "disposal": {"en": "Bury what is left in a bare bed."},
    "success_signs": [{"en": "The water is brown."}],
    "failure_signs": [
        {
            "sign": {"en": "Leaf edges brown."},
            "likely_cause": {"en": "Too strong."},
            "first_action": {"en": "Rinse with water."},
        }
    ],
    "sources": [{"citation": "common practice in the trade", "own_words": "yes", "licence": "CC-BY-4.0"}],
    "licence": "CC-BY-4.0",
    "unread": ["sw"],
    "credit": {"kind": "role", "name": "trainer"},
    "photos": [],
}

SPRAY: Document = {
    "kind": "pest-deterrent",
    "title": {"en": "Strong leaf and smoke spray", "fr": "Pulvérisation forte"},
    "topics": ["aphids"],
    "materials": [{"item": "chilli", "qty": {"value": "50", "unit": "mass-gram"}}],
    "ratios": [{"a": "chilli", "b": "water", "by": "mass", "value": 20}],
    "steps": [{"say": {"en": "Spray it.", "fr": "Pulvérisez."}, "time_of_day": "day"}],
    "waiting": [{"before": "harvest", "days_min": "none published"}],
    "facts": {
        "spray": [
            {
                "plants": ["Chilli", "Tobacco", "soap"],
                "soap_g_l": "10.5",
                "ppe": ["mask"],
                "interval_d": "none published",
                "near_water_m": 2,
                "time_of_day": "day",
            }
        ],
        "crop": {"name": "tomato", "family": "tomato_potato", "part": "fruit", "eaten_raw": True, "flowering": True},
        "none": ["inputs", "animals", "structure", "wick", "irrigation", "vessel"],
        "fish": {"species": "tilapia", "purpose": "food"},
        "evidence": {"effect": "90"},
        "cautions": ["C16", "C17", "C18"],
    },
}

WALL: Document = {
    "kind": "structure",
    "title": {"en": "Wall of bottles with wicks"},
    "topics": ["wall-bottle", "wick-watering"],
    "space": {"area_m2": "0.5", "wall": True, "height_cm": {"value": "180", "unit": "length-centimeter"}},
    "materials": [{"item": {"en": "plastic bottle 1.5 L"}, "qty": {"value": 20, "unit": "concentr-item"}}],
    "steps": [{"n": "1", "say": {"en": "Refill the bottles."}, "repeat": {"every_days": "7"}}],
    "facts": {
        "wick": {"rise_cm": "20", "medium": "sand"},
        "structure": {"kind": "bottle wall", "height_cm": 180, "diameter_cm": 40, "on_roof": False, "braced": False},
        "vessel": {"volume_l": "1.5", "cover": "narrow neck", "age_water_d": 7, "prior_use": "food"},
    },
}

ROOF: Document = {
    "kind": "structure",
    "title": {"en": "Bed on the coop's roof"},
    "topics": ["roof-bed", "roof-load"],
    "space": {
        "roof": True,
        "depth_cm": 30,
        "load_kg_m2_wet": {"value": "577", "unit": "kilogram-per-square-meter"},
    },
    "facts": {
        "structure": {
            "kind": "roof_bed",
            "on_roof": True,
            "depth_cm": "30",
            "density": 1922,
            "engineer_ok": False,
            "safe_load_kg_m2": "97.6",
        },
        "cautions": ["C07"],
    },
}

FISH: Document = {
    "kind": "linked-system",
    "title": {"en": "Drum of catfish, hens above, leaves beside"},
    "topics": ["linked-system", "keeping-fish"],
    "water_kind": ["clean"],
    "waiting": [{"before": "harvest", "days_min": "3", "after": "water"}],
    "facts": {
        "fish": [
            {"species": "catfish", "n": 40, "kg": "12", "aeration": "no", "exchange_pct_d": 3, "manure_fed": True}
        ],
        "animals": {"species": "hen", "n": 4, "area_m2": "0.4", "over_water": True, "droppings_to": ["fish feed"]},
        "area": {"bird_flu": "unknown"},
        "vessel": {"volume_l": 200, "area_m2": "0.5", "cover": "none", "age_water_d": 30, "prior_use": "unknown"},
        "irrigation": {"source": "fish", "mode": "foliar", "wait_d": 3},
        "crop": {"name": "amaranth", "part": "leaf", "eaten_raw": True},
        "task": {"kind": "handling birds", "audience": ["adults", "under 5"]},
    },
}

COMPANIONS: Document = {
    "kind": "companions",
    "title": {"en": "Onion beside kale", "fr": "Oignon à côté du chou frisé"},
    "topics": ["companion-planting"],
    "companions": [
        {"crop": "kale", "with": "onion", "effect": "helps", "source": "common practice"},
        {"crop": {"en": "kale"}, "with": {"en": "marigold"}, "effect": "no evidence"},
    ],
    "yield": {"qty": {"value": "1.2", "unit": "mass-kilogram"}, "per": "plant", "during": "P3M", "basis": "guessed"},
    "facts": {"none": ["inputs", "spray", "fish", "animals"], "evidence": {"effect": "fewer aphids"}},
}
