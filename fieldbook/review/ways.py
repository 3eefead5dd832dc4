"""What to do instead: safe ways, each with what it rests on.

Not rules. Its one rule: a way is something that a camp can do with what it has; where none is known, none is given.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from fieldbook.review.rule import Way

_ORGANIC = "7 CFR 205.203(c)(1), read; it binds farms that sell as organic"

WAYS: Final = MappingProxyType(
    {
        "ask-first": Way("Let the entry itself ask for it before anyone starts.", "our own choice", change="ask-first"),
        "dung-day": Way(
            "Put raw dung into a bare bed on dung day: at least 120 days before the first harvest, 90 where the food "
            "hangs off the soil. On a fresh bed grow maize first, then staked fruit, then roots, then leaves.",
            _ORGANIC,
            change="keep-the-raw-wait",
        ),
        "two-boxes": Way(
            "Keep two compost boxes told apart by shape and word: a leaf box of plants and soil only, for leaves now; "
            "a dung box, used on dung day only.",
            f"{_ORGANIC}; its (c)(3), read, names plant matter without any wait",
        ),
        "checked-heap": Way(
            "Bring the dung to one shared heap with a thermometer: 3 days at 55 to 77 °C all through in a closed or "
            "aired heap, or 15 days with 5 turnings. No thermometer means raw dung.",
            "7 CFR 205.203(c)(2), read",
        ),
        "heap-tea": Way(
            "Make the tea from a heap that was checked with a thermometer, with clean water and no sugar, and pour it "
            "at the foot of the plants.",
            "21 CFR 112.51, as a state code copies it",
        ),
        "steep-on-dung-day": Way(
            "Pour the raw steep into a bare bed on dung day, 120 days before leaves or roots are picked there.",
            _ORGANIC,
            change="keep-the-raw-wait",
        ),
        "steep-not-eaten": Way(
            "Use the raw steep on what nobody eats: marigolds, trees for shade, a hedge. No wait is needed there.",
            "7 CFR 205.203(c)(1)(i), read",
        ),
        "leaf-steep": Way(
            "Steep leaves only, in a can that never held dung, and pour it at the foot of the plants.", "our own choice"
        ),
        "larger-area": Way(
            "Spread the dung over a larger bed, and bring the rest to the shared heap.",
            "91/676/EEC Annex III, read, used as a soft ceiling",
        ),
        "sanitation": Way("Leave it to a trained sanitation service.", "21 CFR 112.53, read"),
        "urine-stored": Way(
            "Store human urine closed for 1 month for your own household, 6 months where others eat; on soil only, and "
            "none in the last month before harvest.",
            "WHO 2006 vol. 4, as quoted",
        ),
        "foot-watering": Way(
            "Bring this water to the foot of the plants under mulch, by a buried pot or a wick, on fruit held off the "
            "soil first; use clean water on leaves and for the last washings.",
            "WHO 2006 vol. 2, as quoted",
            change="water-the-foot",
        ),
        "after-picking": Way(
            "Change the tank right after a picking, so that the next one is far off.", "our own choice"
        ),
        "cover-it": Way(
            "Fasten a lid, lock it, or put up a fence that a small child cannot pass; let hens drink from a narrow "
            "neck or from a tray full of stones.",
            "Facts for Life ch. 13, read; neck and stones: our own choice",
            change="cover-the-water",
        ),
        "empty-weekly": Way(
            "Empty and scrub it at least every sixth day, or close it with a lid or a tight mesh.",
            "a health ministry's page, read; the sixth day: our own choice",
        ),
        "turn-the-loop": Way(
            "Turn the loop round: droppings to the dung box, to fodder or to reared larvae, larvae to the hens; greens "
            "or feed to the fish; the coop beside the water, not over it.",
            "FAO AC155E, read, and our own choice",
        ),
        "fewer-birds": Way(
            "At most one bird for each 2 m² of water, each adding about 20 g of dry droppings a day.",
            "a government's advisory page, read",
        ),
        "show-fish": Way(
            "Say that this tank is for showing and learning, not for meals; for food use 1 m² of water or more, or add "
            "air and change water.",
            "computed from FAO TP 362",
        ),
        "two-knives": Way(
            "One knife and board for gutting, another for the flesh; cook right through, never raw.",
            "Lan et al., read",
            change="add-its-caution",
        ),
        "short-wick": Way(
            "Keep the roots within 30 cm of the lowest water, within 15 cm in sand, or water from above.",
            "wicking-bed guides, read",
        ),
        "swap-container": Way(
            "Use a food-aid oil tin whose label you saw, a flour or rice sack, a lined crate, or a jerrycan that held "
            "drinking water.",
            "FAO Pesticide Disposal Series 7, read",
        ),
        "collection-point": Way(
            "Bring a container of pesticide or of something unknown to the collection point; no garden use.",
            "FAO Pesticide Disposal Series 7, read",
        ),
        "ask-builder": Way(
            "Print the wet weight per square metre on a sheet and ask the builder or engineer to say in writing what "
            "the roof carries.",
            "our own choice; the law of the place decides",
        ),
        "posts": Way("Put the bed on posts of its own that stand on the ground.", "our own choice"),
        "trellis": Way(
            "Root climbers in the ground beside the house and lead them up a trellis; use the roof to catch rain only.",
            "our own choice",
        ),
        "wide-foot": Way("Make it no taller than twice its width, or brace it to a post.", "our rule of thumb"),
        "gentler-first": Way(
            "First pick pests off by hand, wash them off with a jet of water, or put up a net.", "common practice"
        ),
        "weak-soap": Way(
            "Use soap alone, at most 8 g in a litre of water, on a few plants first.", "a web page (weak), read"
        ),
        "cover-up": Way(
            "Write into the steps: cover eyes and skin, a cloth over the mouth, stand upwind.",
            "US NPIC, read",
            change="cover-up",
        ),
        "spray-at-dusk": Way("Spray at dusk, and not on flowers.", "US EPA on neem, read", change="spray-at-dusk"),
        "far-from-water": Way(
            "Keep at least 10 m from any water, and use no such spray where fish are kept.",
            "US EPA on neem, read; the 10 m: our own choice",
        ),
        "none-published": Way(
            "Write that no waiting time is published, wash what is picked in clean water, and try a few plants first.",
            "our search: none published",
            change="say-none-published",
        ),
        "say-untested": Way(
            "Take the number out, or say how many plots, what they were compared with, and where it is published.",
            "our own choice",
        ),
        "more-room": Way(
            "Give each hen more room: 3 to a square metre on deep litter.", "FAO on small-scale poultry, read"
        ),
        "other-hands": Way(
            "Let a healthy grown-up do it; small children and pregnant women stay away and hands are washed with soap.",
            "US CDC, read",
        ),
        "report-deaths": Way(
            "Add caution C13: report sudden deaths, and do not touch, eat, sell or move the birds.",
            "FAO, read",
            change="add-its-caution",
        ),
        "name-the-source": Way(
            "Name the work and the place in it, or mark the number as common practice or from memory.", "our own choice"
        ),
        "add-caution": Way(
            "Add the caution that is missing to those that stand with the entry.",
            "our own choice",
            change="add-missing-cautions",
        ),
        "take-it-out": Way(
            "Take the item out of the materials, ratios and steps, or do not warn against it.", "our own choice"
        ),
        "compost-as-raw": Way(
            "Call it raw dung, and keep 120 days before food that touches soil, 90 before food held off it.",
            _ORGANIC,
            change="keep-the-raw-wait",
        ),
        "mend-the-mix": Way(
            "Mix more dry brown matter into a green heap, more green into a brown one, and reckon the mix anew.",
            "7 CFR 205.203(c)(2)(i), read",
        ),
        "wrung-cloth": Way(
            "Squeeze a handful: where water runs, mix in dry leaves; where it falls apart, wet it.",
            "Cooperband 2002, read; the squeeze: common practice",
        ),
        "cool-the-heap": Way("Open the heap, wet it and turn it, and make the next one lower.", "common practice"),
        "urine-on-dung-day": Way(
            "Pour the urine of animals into bare soil on dung day only, at most 1.62 L of rabbit urine per m² a year.",
            f"{_ORGANIC}; the dose: computed",
            change="keep-the-raw-wait",
        ),
        "closed-box": Way(
            "Grow in a box with a closed bottom and a high rim, watered with clean water from above, no wick into the "
            "drain; take it off before heavy rain, and set none over sewage.",
            "our own choice",
        ),
        "clean-on-leaves": Way(
            "Use clean water on this crop, and the used water on what nobody eats.", "WHO 2006 vol. 2, as quoted"
        ),
        "after-flood": Way(
            "Throw what the flood touched away from food and feed, and ask the health officer before the bed is "
            "planted again.",
            "our own choice; the health officer's word comes first",
        ),
        "no-entry": Way(
            "Add caution C11: nobody enters or leans in, not even to help; call for rescue.",
            "Ontario, read",
            change="add-its-caution",
        ),
        "add-c19": Way(
            "Add caution C19: no green berries; boil the leaves and throw the water away.",
            "AVRDC, read",
            change="add-its-caution",
        ),
        "other-leaf": Way("Grow a leaf that everybody knows in its place: amaranth, kale, cowpea.", "common practice"),
        "fewer-fish": Way("Keep at most 1 kg of fish on a square metre of still water.", "FAO TP 362, read"),
        "change-the-water": Way(
            "Stop feeding for a day, change a third of the water for clean water of the same warmth, and add air.",
            "UF-IFAS FA16, a copy; the third: common practice",
        ),
        "clean-wood": Way(
            "Use wood that you know was never treated, or bamboo, brick or stone.", "agencies' pages, read"
        ),
        "tyre-flowers": Way("Grow flowers and marigolds in the tyres.", "an agronomy note, read"),
        "sack-in-tyre": Way(
            "Stand a clean whole sack inside the tyre and grow in the sack; never cut, shred or burn a tyre.",
            "an agronomy note, read",
        ),
        "tower-of-brick": Way("Build the same tower of brick, bamboo or crates.", "our own choice"),
        "clean-raised-soil": Way(
            "Bring clean soil into a raised bed over a cloth, cover it with mulch, and wash and peel what is picked.",
            "PMC4175907, read",
        ),
        "fruit-there": Way("Grow fruit held high there, no roots and no leaves.", "PMC4175907, read"),
        "wider-hutch": Way(
            "Give one rabbit of 2 to 4 kg at least 0.28 m², up to 5.4 kg 0.37 m², above that 0.46 m².",
            "US Animal Welfare Act, as quoted",
        ),
        "wider-pen": Way(
            "Give each grown goat at least 1.5 m² under a roof and 2.5 m² outside.", "EC organic rule, read"
        ),
        "open-the-house": Way(
            "Open the house, take the wet litter out, keep fewer animals; look again after a day.",
            "poultry pages, read; the day: common practice",
        ),
        "state-the-unit": Way("Write µg RE or µg RAE as the table says it, the same for all foods.", "our own choice"),
        "name-the-table": Way(
            "Write the food table, the food's number in it, and raw or cooked; or take the value out.", "our own choice"
        ),
        "count-the-bed": Way(
            "Count with the sum of plants in a bed, both ways round, and write that number.", "our own counting"
        ),
    }
)
