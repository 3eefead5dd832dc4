"""Whether a question is asked in worry: an animal or a plant is dying, there is blood, someone is ill.

What it is: a list of words of alarm in the languages of the tables, from memory. What it is not: a judgement of the
question; it only moves "first do this" to the top of the page.

Its one rule: rather worried once too often.
"""

from __future__ import annotations

from typing import Final

from fieldbook.search.stems import stems_of
from fieldbook.search.words import words_of

_ALARM: Final = {
    "en": "dying dies died dead death die killed blood bloody bleeding poison poisoned poisonous urgent emergency "
    "sick ill gasping gasp choking paralysed paralyzed bloat bloated swollen suddenly vomiting unconscious "
    "fever kills gulp gulping perish perished",
    "sw": "wanakufa anakufa amekufa wamekufa kufa kifo damu sumu ghafla mgonjwa wagonjwa ugonjwa wanahema anahema "
    "amevimba limevimba kupooza dharura kutapika ameungua homa kuzirai wamepooza",
    "fr": "mort morte morts mortes meurt meurent mourir mourant sang sanglant sanglante poison empoisonne "
    "empoisonnement urgent urgence malade malades etouffe gonfle gonflee soudain subite subitement paralyse "
    "vomit fievre inconscient crevent creve",
    "ar": "تموت يموت ماتت مات موت ميت ميتة نفوق دم دموي تسمم مسموم طارئ فجأة مريض مريضة مرضى يختنق تلهث يلهث منتفخ "
    "انتفاخ شلل نزيف قيء حمى إغماء نزف",
    "es": "muere mueren muerto muerta muertos muertas muriendo muerte sangre sangra veneno envenenado urgente "
    "emergencia enfermo enferma asfixia boquean hinchado hinchada paralisis vomito fiebre desmayado",
    "so": "dhimanaya dhimatay dhintay dhiig degdeg xanuun bukta barar",
}


def _shapes(text: str, language: str) -> frozenset[str]:
    words = words_of(text)
    return frozenset(shape for word in words for shape in (word, *stems_of(word, (language,))) if len(shape) > 1)


_SHAPES: Final = frozenset().union(*(_shapes(text, language) for language, text in _ALARM.items()))


def is_worried(words: str) -> bool:
    """Return whether a question holds a word of alarm, in any of the languages of the tables."""
    return any(word in _SHAPES or _SHAPES & stems_of(word, _ALARM) for word in words_of(words))
