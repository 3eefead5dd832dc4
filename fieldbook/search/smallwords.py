"""Words that say nothing about what is sought: articles, pronouns, little verbs, in the languages of the tables.

What it is: a short list of ours, written from memory, folded when read. What it is not: a full list of function words;
a word that could tell two topics apart (when, days, safe, how many) is left out on purpose.

Its one rule: a question made of such words alone is still asked with all of them.
"""

from __future__ import annotations

from typing import Final

from fieldbook.search.words import words_of

_BY_LANGUAGE: Final = {
    "en": "a an the and or but of to in on at for from with by into is are was were be been am do does did have has "
    "had i me my we us our you your he she it its they them their this that these those what which who how "
    "why there here can could will would should shall may not no very so too just some any all get gets got "
    "make makes please tell help if as up out about than then also one thing something s t",
    "fr": "le la les un une des du de d l et ou mais a au aux en dans sur sous pour par avec est sont suis es ete "
    "etre ai as ont avons avez avait je tu il elle on nous vous ils elles mon ma mes ton ta tes son sa ses "
    "notre nos votre vos leur leurs ce cet cette ces qui que quoi quel quelle quels quelles comment pourquoi "
    "ne pas plus tres si y c j m n s t qu fait faire faut peut puis peux doit",
    "es": "el la los las un una unos unas de del y o pero a al en por para con sin es son esta estan estoy ser hay "
    "he ha han yo tu el ella nosotros ellos mi mis su sus este esta estos estas eso que cual cuales como "
    "porque no muy si se me te le lo les ya mas puedo puede hacer",
    "sw": "ya wa za la cha vya kwa na ni si katika kwenye hii hiyo hizi hizo huu huo hao hawa huyu huyo yangu wangu "
    "langu changu zangu vyangu yake wake lake zake yetu wetu je nini gani kama au lakini pia tu sana kuna "
    "hakuna nina tuna ana wana ina zina yana nifanye nifanyeje naweza unaweza jinsi namna ili mimi sisi yeye "
    "wao kutoka hadi bado",
    "ar": "في من على الى إلى عن مع هل ما ماذا كيف لماذا هو هي هم انا أنا نحن انت هذا هذه ذلك تلك التي الذي الذين "
    "كان كانت يكون او أو و ثم لا لم لن ليس قد كل بعض عند عندي عندما هناك يا ان أن إن لي لنا اعمل ب ل ك",
    "so": "iyo ama oo ka ku u la waa wax maxay sidee aan uu ay waxaan leh ah ayaa baa miyaa",
}
SMALL_WORDS: Final = frozenset(word for text in _BY_LANGUAGE.values() for word in words_of(text))
