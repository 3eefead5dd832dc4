"""The words of the cautions that stand beside hazardous steps, and the standing line.

What it is: our words for each caution key, as pages show them. What it is not: the rules that call for a caution
(``review``). Its one rule: these words are never shortened, folded away or left out, on screen or on paper.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldbook.review.cautions import NAMES
from fieldbook.review.roles_here import CALLED_FOR, ROLES_HERE

STANDING_LINE = (
    "General guidance. Local codes, health rules and the word of a licensed practitioner (engineer, vet, doctor, "
    "environmental-health officer) come first. If they differ from this page, follow them."
)
TEXTS = {
    "C01": "Dung and dung water can carry germs that make people seriously ill. Never put them on leaves that are "
    "eaten raw. Keep the waiting time. Wash hands with soap.",
    "C02": "Do not use it on food gardens. Toilets and what comes from them need a trained sanitation service.",
    "C03": "Use the cleanest water on leaves and for the last washings. Drain, ditch and kitchen water stay off food "
    "plants.",
    "C04": "A container that held pesticide or an unknown chemical can never be made safe. Know what was in it, or "
    "leave it.",
    "C05": "Green-tinted, tarry or painted wood, and tyres, may release poisons. Keep them out of food soil. Never "
    "burn them.",
    "C06": "Near roads, batteries, old paint or workshops ask for a soil test. Grow in clean raised soil. No root "
    "crops there.",
    "C07": "Wet soil is heavy. Nothing goes on a roof, balcony or wall before a competent person has checked it. Keep "
    "an edge barrier and a safe way up.",
    "C08": "Stand them on level ground, braced, away from where children climb.",
    "C09": "Any open water can drown a child in minutes, even a bucket. Cover, lock or fence it. An adult stays near.",
    "C10": "Empty, scrub or screen standing water at least every week.",
    "C11": "Never climb or lean into a pit, tank or well to help someone. The gas cannot be smelt in time. No entry: "
    "call for rescue.",
    "C12": "If an animal house stings the eyes, open it, dry the litter and lower numbers.",
    "C13": "Sudden deaths: do not touch, eat, sell or move them. Tell the vet or the animal-health worker.",
    "C14": "Keep them from pens, droppings and birth fluids.",
    "C15": "Use one knife for gutting and another for flesh. Cook right through. Never raw.",
    "C16": "Gloves, long sleeves, eye cover and a cloth over the mouth for chilli, ash, lime, marigold, neem and "
    "tobacco. Stay upwind. In the eyes: rinse 15 minutes and go to a clinic.",
    "C17": "Spray at dusk, not on flowers, never where it can run into a pond.",
    "C18": "They are not proven or registered. Rules may forbid them on crops for sale. Try a few plants first. Never "
    "mix with detergents or unknown chemicals.",
    "C19": "Know the plant for certain. Do not eat green nightshade berries or leaves of unknown wild plants; boil "
    "nightshade leaves and throw the water away.",
    "C20": "Damp it, cover cuts, keep tetanus vaccination up to date. Fever or cough after compost work: see a clinic.",
    "C21": "Compost, dry manure and ash can smoulder. Only cold wet ash, in a metal bin, away from shelters.",
    "C22": "Two people for loads over about 25 kg. No spraying, roof or pit work by children.",
    "C23": "Space, shade and water every day. A skilled person for slaughter.",
    "C24": "Food advice is not medical advice. Pregnant women, infants and the sick ask a health worker.",
}


@dataclass(frozen=True)
class CautionWords:
    """A caution as it is shown: its key, what it is about, its words, and the role to call about it at this site."""

    key: str
    heading: str
    text: str
    role: str

    @property
    def whom(self) -> str:
        """The role in words."""
        return ROLES_HERE[self.role]


def caution(key: str) -> CautionWords:
    """The caution of a key; an unknown key of newer software still warns."""
    if key not in TEXTS:
        return CautionWords(
            key, key, "This software is too old to know the words of this caution. Ask a trainer first.", "other"
        )
    return CautionWords(key, NAMES[key], TEXTS[key], CALLED_FOR[key])


ALL = tuple(caution(key) for key in sorted(TEXTS))
