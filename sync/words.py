"""The 256 words in which the fingerprint of a key is read aloud.

Not a dictionary and never to be translated or reordered: a fingerprint is the same words at every site. One
rule: plain English words of 4 to 9 letters, no two of which begin with the same three letters or differ in
fewer than three, so that a slip of ear or pen never gives another word of the list.
"""

_ALL = """
    acorn almond amber anchor angel apple arrow artist attic autumn avocado baker balloon banana battery bicycle
    blanket blossom bonfire bottle bread bridge brush bubble cabin cactus camel canoe captain carpet castle
    cedar cement chair cherry chicken circle citrus clock coast coconut coffee compass corner cotton cousin
    cradle crown cucumber cushion cypress daisy dancer daughter diamond doctor dolphin domino donkey dragon drum
    duck eagle echo eight elastic elbow elder elephant emerald engine envelope evening fabric factory falcon
    family farmer fence festival fiddle field finger fish flute forest fountain frog fruit furnace galaxy garlic
    gazelle giraffe gold goose grass green grocer gust hammock harvest hedge helmet hill history hundred insect
    island ivory jaguar jasmine journey jungle kangaroo keyboard kitchen knee ladder lamp lantern laptop
    lavender leaf lemon lettuce library lizard lobster locust luggage magnet maize mango marble meadow metal
    midnight mineral mirror monsoon morning mother museum napkin needle nephew north notebook nurse nutmeg ocean
    octopus office olive onion opera orange orchard oxygen paint palace parsley pasture path peanut pelican
    pencil pepper perfume piano picnic pigeon pilot plaster plumber pocket postcard powder pumpkin purple
    pyramid quarry question quiet rabbit radio railway ranch recipe reptile ribbon rope round rubber saffron
    sailor salad sandal scarf school scissors seagull sentence sesame seven sheep shoulder silver sleeve smoke
    snail soup spider spoon spring square sugar summer swan symbol tadpole tank teacher thirty thunder tomato
    tortoise towel tractor trumpet tunnel turkey twelve umbrella uniform valley vanilla vessel village vinegar
    violin visitor voice waiter walnut weaver weekend whale wheat whistle window wool workshop yard zebra
"""
WORDS: tuple[str, ...] = tuple(_ALL.split())
