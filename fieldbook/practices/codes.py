"""The closed lists of words that an entry may use.

Not translations: a page or sheet says each code in the reader's language. Its one rule: a code that has once stood in
a signed entry is never given another meaning; new ones may be added.
"""

from __future__ import annotations

ENTRY_KINDS = (
    "animal", "companions", "compost", "fish", "food", "growing", "linked-system", "manure", "pest-deterrent", "seed",
    "structure", "teaching", "water",
)  # fmt: skip

TOPICS = (
    "aphids", "whitefly", "cutworm", "caterpillars", "leafminer", "spider-mites", "thrips", "slugs-snails",
    "root-knot", "termites", "ants-mealybug", "late-blight", "powdery-mildew", "damping-off", "leaf-curl-virus",
    "blossom-end-rot", "nitrogen-shortage", "salt-water", "seed-not-coming-up", "short-of-water", "shade-net",
    "planting-time", "fast-crops", "seed-saving", "wick-watering", "wall-bottle", "sack-garden", "tyre-tower",
    "tyre-safety", "paint-tin-safety", "roof-bed", "roof-load", "drain-box", "greywater-use", "compost-box",
    "compost-smell", "compost-slow", "steeped-manure", "manure-waiting-time", "urine-feed", "urine-spray",
    "urine-waiting-time", "marigold-spray", "chilli-garlic-spray", "neem-spray", "ash-soap", "tobacco-warning",
    "spray-waiting-time", "mosquito-breeding", "children-animals-hygiene", "hens-not-laying", "hens-heat",
    "hens-bloody-droppings", "hens-newcastle", "rabbits-ear-mites", "rabbits-diarrhoea", "goat-bloat", "goat-fencing",
    "fish-gasping", "fish-water-change", "companion-planting", "linked-system", "rabbit-manure", "soil-mix",
    "dung-day", "keeping-hens", "keeping-rabbits", "keeping-fish", "nursery", "transplanting",
)  # fmt: skip

# Unicode CLDR unit ids. No spoon, cup or handful: in some languages two spoons of different size share one name, so
# a household measure stands only in `measures`, beside the millilitres or grams that it holds.
UNITS = (
    "area-square-meter", "concentr-item", "concentr-percent", "duration-day", "duration-hour", "duration-minute",
    "duration-month", "duration-week", "length-centimeter", "length-meter", "length-millimeter", "mass-gram",
    "mass-kilogram", "temperature-celsius", "volume-liter", "volume-milliliter",
)  # fmt: skip

CAUTIONS = tuple(f"C{n:02}" for n in range(1, 25))

DEMANDS = ("area", "bird_flu", "cover", "engineer_ok", "prior_use", "safe_load", "soil_source")

RAW_DUNG_KINDS = (
    "cow_manure", "duck_manure", "goat_manure", "hen_manure", "horse_manure", "manure", "pig_manure", "rabbit_manure",
    "sheep_manure",
)  # fmt: skip
TEA_KINDS = ("compost_tea", "manure_tea")
HUMAN_WASTE_KINDS = ("human_faeces", "human_urine", "septic", "sludge")
INPUT_KINDS = (
    *RAW_DUNG_KINDS, *TEA_KINDS, *HUMAN_WASTE_KINDS, "animal_urine", "ash", "compost", "fish_water", "leaf_steep",
    "mineral", "other", "plant_compost", "plant_matter", "seaweed", "soil", "worm_compost",
)  # fmt: skip
TREATMENTS = (
    "aged", "composted", "dried", "fermented", "heat_processed", "none", "raw", "rested", "steeped", "stored",
    "treated",
)  # fmt: skip
MODES = ("drench", "foliar", "soil_incorporated", "soil_surface")
CONTACTS = ("edible_none", "edible_soil", "not_eaten")

COMPOST_SYSTEMS = ("box", "in_vessel", "static", "turned", "windrow", "worms")
TEA_SOURCES = ("composted", "plants", "raw")
TEA_WATERS = ("drinking", "rain", "roof", "surface", "unknown", "well")
TEA_ADDITIVES = ("molasses", "none", "other", "sugar")

CROP_PARTS = ("flower", "fruit", "leaf", "none", "root", "seed", "stem")
CROP_FAMILIES = ("cabbage", "grass", "legume", "onion", "other", "pumpkin", "tomato_potato")

STRUCTURE_KINDS = (
    "bed", "bottle_wall", "box", "pen", "pond", "rack", "roof_bed", "sack", "tower", "trellis", "tyre", "wall",
)  # fmt: skip
MATERIAL_KINDS = (
    "bamboo", "brick", "cloth", "glass", "metal", "other", "plastic", "sack", "stone", "timber", "tyre",
)  # fmt: skip
MATERIAL_TREATMENTS = ("cca", "clean", "creosote", "painted", "railway", "shredded", "unknown")

COVERS = ("fence", "lid", "lock", "mesh", "narrow_neck", "none", "stone_filled_tray")
PRIOR_USES = ("chemical", "drinking_water", "food", "fuel", "never_used", "paint", "pesticide", "unknown")
FORBIDDEN_PRIOR_USES = ("chemical", "fuel", "paint", "pesticide", "unknown")

IRRIGATION_SOURCES = ("clean", "drain", "drum", "fish", "flood", "greywater", "pond", "roof", "wastewater")
BARRIERS = ("cooking", "disinfecting_wash", "drip_high_crop", "drip_low_crop", "peeling", "washing")
IRRIGATION_ORIGINS = ("bath", "chemicals", "dyes", "kitchen", "laundry", "nappies", "unknown")
IRRIGATION_MODES = ("buried", "drip", "foliar", "foot", "wick")
WATER_KINDS = ("clean", "re-used-kitchen", "re-used-wash", "roof", "salty")

FISH_PURPOSES = ("food", "mosquito_control", "showing")
ANIMAL_SPECIES = ("cow", "duck", "goat", "hen", "other", "pig", "pigeon", "rabbit", "sheep")
LITTERS = ("bare_floor", "deep_litter", "other", "slats", "wire")
DROPPINGS_TO = ("animal_feed", "compost", "fish_feed", "heap", "larvae", "soil")
SOIL_SOURCES = ("battery", "bought", "clean", "dump", "roadside", "unknown")

SPRAY_PLANTS = (
    "ash", "basil", "chilli", "garlic", "ginger", "lime", "milk", "neem", "oil", "onion", "other", "papaya_leaf",
    "rotenone", "soap", "tagetes", "tephrosia", "tobacco", "tomato_leaf",
)  # fmt: skip
PPE = ("eyes", "hands", "mask", "skin")
TIMES_OF_DAY = ("dawn", "day", "dusk", "night")
BIRD_FLU = ("affected", "free", "unknown")
TASK_KINDS = (
    "gardening", "handling_birds", "handling_droppings", "handling_other_animals", "lifting", "pit_or_tank_work",
    "roof_work", "slaughter", "spraying",
)  # fmt: skip
AUDIENCES = ("adults", "children", "elderly", "ill", "pregnant", "under_5")

FACT_GROUPS = (
    "animals", "area", "bed", "compost", "crop", "evidence", "fish", "harvest", "inputs", "irrigation", "materials",
    "nutrition", "soil", "spray", "structure", "task", "tea", "vessel", "water", "wick",
)  # fmt: skip

# What a kind of practice cannot be without, whatever its facts rule out.
KIND_HAS_GROUP = {"animal": "animals", "fish": "fish", "manure": "inputs"}

NONE_PUBLISHED = "none published"
MARKS = ("common practice", "computed", "from memory", "read", "secondary")

# Other words that authors use for a word of these lists; only where both mean the same thing to every rule.
SAME_WORDS = {
    "chicken": "hen", "chickens": "hen", "droppings": "manure", "dung": "manure", "flowers": "flower", "fresh": "raw",
    "fruits": "fruit", "gloves": "hands", "hens": "hen", "leaves": "leaf", "marigold": "tagetes", "rabbits": "rabbit",
    "roots": "root", "seeds": "seed", "stems": "stem", "untreated": "raw",
}  # fmt: skip
