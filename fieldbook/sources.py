"""The works we cite, by key.

What it is: one plain table; each line is a work, or the one table of it that is cited on its own. What it is not: the
figures themselves, which stand beside the rule or in the table that uses them.

Its one rule: `mark` says truly how far we saw the work: `read` (in the document itself), `secondary` (on a page or in
a package that quotes it), `computed` (by us, from the named form), `from memory` (not seen: never cited as read),
`common practice` (of the trade, no document).
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

Mark = Literal["read", "secondary", "computed", "from memory", "common practice"]


@dataclass(frozen=True, slots=True)
class Source:
    """One work, or one place in it.

    Attributes:
        key: What docstrings and tables call it.
        title: The work: body or authors, title, year.
        place: The table, chapter or page meant; empty where the whole work is meant.
        mark: How far we saw it.
    """

    key: str
    title: str
    place: str
    mark: Mark

    @property
    def words(self) -> str:
        """The work and the place in it, as a reader sees them."""
        return f"{self.title}, {self.place}" if self.place else self.title


_FAO56: Final = "FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes, Smith 1998)"
_MANUAL3: Final = "FAO Irrigation Water Management, Training manual no. 3"

_TABLE: Final[tuple[Source, ...]] = (
    Source("fao56", _FAO56, "", "read"),
    Source("fao56-eq6", _FAO56, "Eq 6 and the procedures for missing data", "read"),
    Source("fao56-eq52", _FAO56, "Eq 52", "read"),
    Source("fao56-table4", _FAO56, "Table 4", "read"),
    Source("fao56-table11", _FAO56, "Table 11", "read"),
    Source("fao56-table12", _FAO56, "Table 12", "read"),
    Source("fao56-annex2", _FAO56, "Annex 2, Tables 2.6 and 2.7", "secondary"),
    Source("manual3", _MANUAL3, "chapter 4", "read"),
    Source("ecocrop", "FAO Ecocrop, as carried by the package ecocrop 0.2.0", "", "read"),
    Source(
        "mcmaster1997",
        "McMaster and Wilhelm, Growing degree-days: one equation, two interpretations (1997), Agricultural and Forest "
        "Meteorology 87, 291-300",
        "abstract",
        "read",
    ),
    Source(
        "standard-atmosphere",
        "ISO 2533:1975 Standard Atmosphere, alike in ICAO Doc 7488/3",
        "Table 4: 6.5 K colder for each km of height, from -2 to 11 km",
        "secondary",
    ),
    Source(
        "umd-containers",
        "University of Maryland Extension, types of containers for growing vegetables (2023)",
        "least depth and volume by size of plant",
        "read",
    ),
    Source(
        "sphere-15",
        "Sphere, the older indicator of water supply, as training slides quote it",
        "15 litres a person and day, 3 of them to drink",
        "secondary",
    ),
    Source(
        "wmo-1203",
        "WMO-No. 1203, Guidelines on the Calculation of Climate Normals (2017)",
        "completeness: a mean lacks at most 10 days, 4 in a row; a sum none, unless a later reading holds them",
        "secondary",
    ),
    Source(
        "onset-rule",
        "our rule of the onset of rains: 20 mm in 3 days, then no dry spell over 10 days in 30",
        "after definitions in use that differ in each figure; rain day 0.85 mm as in an R package of climate methods",
        "computed",
    ),
    Source("growing-period", "our rule, after FAO World Soil Resources Report 48/1 (1978)", "", "secondary"),
    Source("ours", "our own choice, stated where it is used", "", "computed"),
)

_ORGANIC: Final = "US organic rule, 7 CFR 205.203"
_PRODUCE: Final = "US produce safety rule, 21 CFR 112"

_SAFETY: Final[tuple[Source, ...]] = (
    Source("cfr205-c1-i", _ORGANIC, "(c)(1)(i)", "read"),
    Source("cfr205-c1-ii", _ORGANIC, "(c)(1)(ii)", "read"),
    Source("cfr205-c1-iii", _ORGANIC, "(c)(1)(iii)", "read"),
    Source(
        "ingham2004",
        "Ingham et al. (2004) on raw cattle dung in three soils",
        "E. coli found by enrichment after 132 to 168 days",
        "read",
    ),
    Source("cfr205-c2", _ORGANIC, "(c)(2)", "read"),
    Source("cfr205-c2-i", _ORGANIC, "(c)(2)(i)", "read"),
    Source("cfr205-c2-ii", _ORGANIC, "(c)(2)(ii)", "read"),
    Source("cfr205-c2-iii", _ORGANIC, "(c)(2)(iii)", "read"),
    Source("nop5021", "US National Organic Program, Guidance 5021 (2011)", "as quoted", "secondary"),
    Source("home-heaps", "a university extension page on home heaps that fail to heat", "", "read"),
    Source("greywater-rules", "a summary of the greywater rules of some states", "", "read"),
    Source("mara2010", "Mara and Sleigh (2010), J. Water Health 8(1):39-43", "abstract", "read"),
    Source("ontario-gas", "Ontario's ministry and farm-safety pages on hydrogen sulphide", "", "read"),
    Source("timber-pages", "agencies' pages on CCA and creosote timber", "", "read"),
    Source("tyre-note", "an agronomy note on gardens in tyres", "", "read"),
    Source("soil-lead", "a study of lead in gardens of New York, PMC4175907", "", "read"),
    Source("niosh-ammonia", "US NIOSH, limits for ammonia", "", "read"),
    Source("poultry-ammonia", "poultry pages on ammonia in hen houses", "", "read"),
    Source("avrdc", "AVRDC on leaf nightshade", "", "read"),
    Source("vitamin-a-units", "our reckoning: beta-carotene counts 6 to 1 in RE and 12 to 1 in RAE", "", "computed"),
    Source("cfr112-51", _PRODUCE, "112.51, as a state code copies it", "secondary"),
    Source("cfr112-53", _PRODUCE, "112.53", "read"),
    Source("cfr112-56", _PRODUCE, "112.56(a)(1)", "read"),
    Source("nosb2006", "NOSB recommendation on compost tea (2006)", "", "from memory"),
    Source("cornell-gaps", "Cornell University, decision tree on soil amendments", "", "read"),
    Source(
        "steep-reckoning", "our reckoning from 7 CFR 205.203(c)(1), 21 CFR 112.56 and WHO (2006) vol. 2", "", "computed"
    ),
    Source("91-676-eec", "Council Directive 91/676/EEC on nitrates", "Annex III", "read"),
    Source("nrcs-manure", "USDA NRCS, manure nutrient table", "", "read"),
    Source(
        "who2006-v2",
        "WHO Guidelines (2006), vol. 2, on wastewater in agriculture",
        "log credits, as quoted",
        "secondary",
    ),
    Source("who2006-v4", "WHO Guidelines (2006), vol. 4, on excreta", "storage, as quoted", "secondary"),
    Source("facts-for-life", "Facts for Life", "ch. 13", "read"),
    Source("aedes-page", "a health ministry's page on mosquitoes in stored water", "", "read"),
    Source("pds7", "FAO Pesticide Disposal Series 7", "Annex 1", "read"),
    Source("roof-media", "published wet densities of roof and garden soils, 48 to 120 lb/ft³", "", "read"),
    Source("roof-live-load", "US code text, minimum roof live load 20 lb/ft²", "", "read"),
    Source("lan-fish", "Lan et al. on fish from manure-fed ponds", "", "read"),
    Source("ac155e", "FAO AC155E (Vincke), organic loading of ponds", "", "read"),
    Source("pond-poultry", "a government's advisory page on hens over ponds", "", "read"),
    Source("tp362", "FAO Fisheries Technical Paper 362", "section 6.1", "computed"),
    Source("1999-74-ec", "Council Directive 1999/74/EC on laying hens", "alternative systems", "read"),
    Source("fao-small-poultry", "FAO on small-scale poultry", "deep litter", "read"),
    Source("cdc-poultry", "US CDC on keeping poultry at home", "", "read"),
    Source("fao-bird-flu", "FAO on bird flu in backyard flocks", "", "read"),
    Source("fao-droppings", "FAO on droppings as feed, as quoted", "", "secondary"),
    Source("npic", "US NPIC, capsaicin", "", "read"),
    Source("soap-page", "a web page on soap sprays (weak)", "", "read"),
    Source("epa-neem", "US EPA on neem", "", "read"),
    Source("sccs-1551", "EU opinion SCCS/1551/15 on Tagetes", "", "read"),
    Source("health-handbook", "a community-health handbook on pest sprays", "", "read"),
    Source("no-published-wait", "our search: no waiting time is published for most home extracts", "", "computed"),
    Source("trial-table", "published trials of plant extracts, each with its untreated plots", "", "read"),
    Source("wick-guides", "guides to wicking beds", "", "read"),
    Source("cornell-compost", "Cornell University, composting science pages", "moisture and ratio of mixes", "read"),
    Source("cooperband", "Cooperband, The Art and Science of Composting (2002)", "acceptable ranges", "read"),
    Source(
        "bertrand-table",
        "G. L. Bertrand, Missouri University of Science and Technology, compost material table",
        "",
        "read",
    ),
    Source("usda-1962", "USDA, nutrients of fresh manure (1962)", "the most nitrogen of each", "read"),
    Source("rabbit-dung-page", "a web page on rabbit manure", "about 2.7 % nitrogen when dry", "secondary"),
    Source("rabbit-urine", "AER Journal 4(1), on rabbit urine", "1.05 % nitrogen", "read"),
    Source("abbott", "Abbott's formula (1925)", "", "from memory"),
    Source("henderson-tilton", "Henderson and Tilton's formula (1955)", "", "from memory"),
    Source("fao-microgardens", "FAO fact sheet on micro-gardens", "", "read"),
    Source("maertens2005", "Maertens et al. (2005), World Rabbit Science", "nitrogen of a doe with fatteners", "read"),
    Source("osuhor2002", "Osuhor et al. (2002) on Red Sokoto goats", "droppings of a night", "read"),
    Source("fao-tp589", "FAO Fisheries Technical Paper 589", "feed, plants and water", "read"),
    Source("emerson1975", "Emerson et al. (1975) on un-ionised ammonia, as quoted", "", "secondary"),
    Source("fa16", "University of Florida, FA16 on ammonia (a copy)", "", "read"),
    Source("hen-eggs", "eggs of hens in small yards, a week", "1.2 to 5 a hen", "from memory"),
    Source("us-awa", "US Animal Welfare Act, on a state extension page", "floor of rabbits", "secondary"),
    Source("ec-organic", "EC rule on organic livestock", "goats", "read"),
    Source("student-t", "Student's t (1908)", "", "from memory"),
    Source(
        "incomplete-beta", "the incomplete beta function as a continued fraction", "NIST DLMF 8.17.22", "from memory"
    ),
    Source("stirling", "Stirling's series of the logarithm of the gamma function", "NIST DLMF 5.11.1", "from memory"),
    Source("wilson1927", "Wilson (1927), range of a share", "", "from memory"),
    Source("newcombe1998", "Newcombe (1998), range of the difference of two shares", "his method 10", "from memory"),
    Source("welch1947", "Welch (1947), two means of unequal variance", "", "from memory"),
    Source("hedges1999", "Hedges, Gurevitch, Curtis (1999), Ecology 80, on ratios of means", "", "from memory"),
    Source("dersimonian1986", "DerSimonian and Laird (1986), weights of several trials", "", "from memory"),
    Source(
        "rover2015",
        "Röver, Knapp, Friede (2015), BMC Medical Research Methodology, s12874-015-0091-1",
        "abstract: the modified range, above all where only a few studies contribute",
        "read",
    ),
    Source("higgins2009", "Higgins, Thompson, Spiegelhalter (2009), range of a new trial", "", "from memory"),
    Source("fisher-yates", "Fisher and Yates (1938), drawing an order by lot", "", "from memory"),
    Source("jurin", "Jurin's law for a clean wetting wall", "", "computed"),
)

SOURCES: Final = MappingProxyType({source.key: source for source in (*_TABLE, *_SAFETY)})
