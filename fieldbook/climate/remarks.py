"""What a calendar says about its windows, as short sentences.

What it is: one table of sentences with places for figures; a remark keeps its code and its figures apart from the
words, so that a page can say it in any language. What it is not: a rule; the rules stand in `windows`.

Its one rule: a sentence says what is compared, with which figure, and since when.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "opens-dry": "opens {date}: from then on rain is at least half of what a green cover would use",
        "opens-cold": "opens {date}: before that the mean temperature is below the {limit} C that it bears",
        "opens-heat": "opens {date}: before that the mean temperature is above the {limit} C that it bears",
        "opens-frost": "opens {date}: before that it would stand in frost, which kills it",
        "opens-young-frost": "opens {date}: before that young plants would stand in frost, which kills them",
        "opens-salt": "opens {date}: before that the water is salty and rain alone does not cover what it uses",
        "closes-dry": "closes {date}: planted later it has under {need} days until rain and stored water end {stop}",
        "closes-cold": "closes {date}: planted later it has under {need} days until the mean temperature falls "
        "below the {limit} C that it bears, {stop}",
        "closes-heat": "closes {date}: planted later it has under {need} days until the mean temperature rises "
        "above the {limit} C that it bears, {stop}",
        "closes-frost": "closes {date}: planted later it has under {need} days until the frost that kills it, {stop}",
        "closes-young-frost": "closes {date}: planted later it is still young when frost comes, {stop}",
        "closes-salt": "closes {date}: planted later it has under {need} days until the water turns salty, {stop}, "
        "when rain alone does not cover what it uses",
        "all-year": "open all year: neither water nor what it bears of cold and heat closes it here",
        "needs-days": "needs {need} days in the bed: {first} to the first harvest at the slow end, {least} of harvest",
        "needs-start": "it needs {need} days of moist soil to take hold and then stands through the year",
        "rain-carries": "rain and stored water alone carry plantings from {start} to {end}",
        "rain-carries-all": "rain alone carries plantings of any day",
        "rain-carries-none": "rain alone carries no planting of this window to harvest: it must be watered",
        "temperature": "daily means compared, not the day's extremes: {low} to {high} C while it stands, and it bears "
        "{bears_min} to {bears_max} C",
        "watering": "beyond effective rain it can use {average} L on each m² a day on average, {highest} in {month}, "
        "in the thirstiest planting; what the soil has stored is not counted",
        "no-watering": "effective rain covers all that it can use",
        "period-short": "not in the growing period from {start}: that has {days} days",
        "no-period": "no growing period: rain is never half of what a green cover would use",
        "longest-period": "the longest growing period has {days} days: it would have to be watered for {lacking} days",
        "longest-clear": "its longest stretch without {causes} has {days} days",
        "never-clear": "{causes} all year",
        "rain-low": "it wants {limit} mm of rain a year to stand through the dry months, and has {rain}",
        "suits-well": "best planted {when}: until it comes to its harvest the daily mean stays within the {likes_min} "
        "to {likes_max} C that it likes",
        "suits-fairly": "fair planted {when}: the daily mean leaves the {likes_min} to {likes_max} C that it likes, "
        "less than halfway to what it bears",
        "suits-badly": "poor planted {when}: the daily mean goes over halfway from what it likes to the {bears_min} or "
        "{bears_max} C that end it. Expect little, choose a kind bred for it, try a few plants first",
        "cool": "cooler than it likes: mean down to {mean} C, best from {likes} C; slower and smaller",
        "cool-days": "cooler than it likes: mean down to {mean} C, best from {likes} C; smaller, and the first harvest "
        "may take {days} days instead of the {table} of the table (ours: by degree days over {base} C, from the mean "
        "of the day): plant early in a window that closes",
        "cool-short": "cooler than it likes: mean down to {mean} C, best from {likes} C; the first harvest may take "
        "{days} days instead of the {table} of the table (ours: by degree days over {base} C, from the mean of the "
        "day). By that not even the first planting ripens in time: do not count on it",
        "warm": "warmer than it likes: mean up to {mean} C, best up to {likes} C; watch for bolting and fruit drop",
        "hot-days": "hot days: the warmest of the day is {high} C on average in {month}; flowers may drop and young "
        "plants scorch: shade them at noon, water early",
        "cut-short": "planted last, its harvest is cut short: {days} days instead of {usual} and more",
        "later-year": "first harvest {least} to {most} days after planting, so it may come in a later year",
        "stands": "stands for years: without water in the dry months it rests or dies back",
        "nursery": "seedlings stand {least} to {most} days in a nursery before and need water there every day",
        "frost-unknown": "frost months are not stated; the mean minimum is {low} C in {month}, so frost may come",
        "dung": "dung day: raw dung goes into this bed by {first} at the latest if you plant on {start}, by {last} if "
        "you plant on {end}: {wait} days before the first bite, which may come {eaten} days after {event}",
        "dung-one-day": "dung day: raw dung goes into this bed by {first} at the latest: {wait} days before the first "
        "bite, which may come {eaten} days after {event}",
        "dung-any-day": "dung day: raw dung goes into this bed {before} days or more before you plant: {wait} days "
        "before the first bite, which may come {eaten} days after {event}",
        "dung-staked": "if it grows on stakes and no fruit touches the soil: by {first} if you plant on {start}, by "
        "{last} if you plant on {end} ({wait} days before the first bite)",
        "dung-staked-one-day": "if it grows on stakes and no fruit touches the soil: by {first} ({wait} days before "
        "the first bite)",
        "dung-staked-any-day": "if it grows on stakes and no fruit touches the soil: {before} days or more before you "
        "plant ({wait} days before the first bite)",
        "dung-raised": "if seedlings are raised in a nursery first, the dung goes in earlier by the days that they "
        "stand there, since the first bite counts from sowing",
        "dung-unknown": "no dung day: {parts} are eaten, and the table does not know the day of the first leaf; no raw "
        "dung for it until that day is entered",
        "dung-not-eaten": "no waiting time after raw dung: nobody eats it; keep the dung off food that grows beside it",
        "succession": "for picking without a gap plant a new square metre every {weeks}: {times} in this window; if "
        "one grows slower than the one before it there can be a gap of up to {gap} days",
        "succession-once": "plant once: when a second planting is due this window is over",
        "borrowed": "the climate is borrowed from site {whose}; this site lies {height}: temperatures are moved by "
        "6.5 C for each 1000 m, rain is left as it is there. Ask people who farm here when the rains come before you "
        "rely on a date",
        "desert": "the rain of the whole year is {rain} mm, as in a desert: if the figures are inches, take each times "
        "25.4",
        "salt-unknown": "salty months are not stated: ask whether the water turns salty",
    }
)

# how the causes are named inside a sentence
CAUSES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "dry": "drought",
        "cold": "cold below what it bears",
        "heat": "heat above what it bears",
        "frost": "frost",
        "young-frost": "frost on young plants",
        "salt": "salty water",
    }
)


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing said of a window.

    Attributes:
        code: Its sentence in `WORDS`.
        figures: The figures in it, as printed, by name.
    """

    code: str
    figures: tuple[tuple[str, str], ...]

    @property
    def words(self) -> str:
        """The sentence in English."""
        return WORDS[self.code].format(**dict(self.figures))


def remark(code: str, **figures: str | int) -> Remark:
    """Make a remark; a figure that its sentence lacks, or the other way round, is an error of ours."""
    made = Remark(code, tuple((name, str(figure)) for name, figure in figures.items()))
    made.words  # noqa: B018 - a sentence that cannot be said fails here, not on a page
    return made
