"""Every sentence of ours that can reach a person, read from the source without running it.

The rules. A *door* is a class or function that takes a sentence: the two roots of errors, the records listed in
`DOORS`, and whatever hands one of its own parameters on to a door. Whatever is given to a door must be readable here:
a text, a text with places, a choice between such, a constant or local name of one, a list of them, what a function of
ours returns, or a sentence that was collected where it was made (`PASSED`). Anything else is a fault of the source.
A *phrase* is a text of several words given to a parameter that stands in a place of a sentence ("the signature of the
receipt" in "{where} is not base64"); it is said in the reader's language too.
"""

from __future__ import annotations

import ast
import itertools
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fieldbook.sentences import read_template
from tests.sentences.rooms import Door, House, Module, default_of, parameters

if TYPE_CHECKING:
    from collections.abc import Iterator

DOORS: dict[str, tuple[str, ...]] = {
    "fieldbook.errors.FieldbookError": ("message", "hint"),
    "fieldbook.errors.Notice": ("words",),
    "sync.errors.SyncError": ("message", "hint"),
    "sync.charter.verdict.Verdict": ("reason",),
    "sync.intake.bundles.Refusal": ("reason", "hint"),
    "sync.intake.checking.Problem": ("what",),
    "sync.exchange.report.Visit.note": ("sentence",),
    "fieldbook.climate.normals.NormalsError": ("faults",),
    "fieldbook.climate.tables.Range": ("hint",),
    "fieldbook.climate.daily.DailyError": ("faults",),
    "fieldbook.climate.crops.CropsError": ("faults",),
    "fieldbook.ledger.values.Refused": ("reason", "hint"),
    "fieldbook.practices.faults.Fault": ("message", "hint"),
    "fieldbook.practices.records.Either": ("hint",),
    "fieldbook.practices.records.Elsewhere": ("hint",),
    "fieldbook.review.rule.Rule": ("words",),
    "fieldbook.trials.line.Line": ("words",),
    "fieldbook.review.rule.Way": ("words",),
    "fieldbook.review.rule.Finding": ("words",),
    "fieldbook.review.lapsing.Lapse": ("words",),
    "fieldbook.review.starting.Reason": ("words",),
    "fieldbook.review.slip_table.Question": ("words", "reason"),
    "fieldbook.site.slips.Begun": ("stop",),
    "fieldbook.site.slips.JudgedSlip": ("standing",),
    "fieldbook.quantities.reading.Noted.amiss": ("message",),
    "fieldbook.quantities.reading.Input": ("label", "about", "says"),
    "fieldbook.quantities.calculator.Calculator": ("title", "purpose", "method", "valid", "cautions"),
    "fieldbook.quantities.calculator.Output": ("words",),
    "fieldbook.quantities.calculator.note": ("words",),
    "fieldbook.web.words.told": ("message", "hint"),
    "fieldbook.web.sum_said.drawn": ("text",),
    "fieldbook.web.words.Refusal": ("message", "hint"),
    "fieldbook.web.guard._error_page": ("message", "hint"),
    "fieldbook.cli.run._complain": ("message", "hint"),
}
PHRASES: dict[str, tuple[str, ...]] = {  # doors to the places of sentences
    "fieldbook.practices.shapes.Text": ("like",),
    "fieldbook.review.rule.Hit": ("ask", "dose"),
    "fieldbook.review.states._move": ("be",),
    "fieldbook.web.words.Refusal": ("heading",),
}
TABLES = (  # whose values stand in the places of sentences; of rows the first
    "fieldbook.quantities.GROUPS",
    "fieldbook.practices.limits_of_scale.WAITS",
    "fieldbook.practices.limits_of_scale.STRENGTH",
    "fieldbook.practices.limits_of_scale.GROUND",
    "fieldbook.practices.limits_of_scale.FISH_SMALL",
    "fieldbook.practices.limits_of_scale.FISH",
    "fieldbook.practices.limits_of_scale.ANIMALS",
    "fieldbook.practices.limits_of_scale.CARRIES",
    "fieldbook.practices.limits_of_scale.HEAP",
    "fieldbook.practices.limits_of_scale.HANDS",
    "fieldbook.practices.limits_of_scale.UNTRIED",
    "fieldbook.quantities.calculator.WORDY_UNITS",
    "fieldbook.quantities.materials._ROWS",
    "fieldbook.web.sum_said._GIVEN",
    "fieldbook.review.engine.GROUP_WORDS",
    "fieldbook.review.cautions.NAMES",
    "fieldbook.review.slip_table.ANIMALS",
    "fieldbook.review.states._IS",
    "fieldbook.tasks.bars.CONTACT_WORDS",
    "fieldbook.tasks.spots.WAIT_WORDS",
    "fieldbook.trials.figures.DID_WORDS",
    "fieldbook.trials.figures.UNIT_WORDS",
    "fieldbook.trials.figures.UNITS_WORDS",
    "fieldbook.trials.evidence.LEVEL_WORDS",
    "fieldbook.trials.wording.LACKS_WORDS",
    "fieldbook.web.words.NOT_DONE",
    "fieldbook.web.words.NOT_SHOWN",
)
PASSED = {"message", "hint", "reason", "what", "words"}  # fields that hold what went through a door before
MOST_CHOICES = 24


@dataclass(frozen=True)
class Sentence:
    """One sentence or phrase with its places in braces, and where the source says it."""

    template: str
    place: str
    whole: bool = True

    @property
    def shape(self) -> str:
        return read_template(self.template).shape


@dataclass(frozen=True)
class Handed:
    """A parameter of the function around, given on as it is (a sentence) or into a place (a phrase)."""

    door: str
    parameter: str
    whole: bool


@dataclass
class Collection:
    """What was found."""

    sentences: set[Sentence] = field(default_factory=set)
    unreadable: set[str] = field(default_factory=set)


class _Unreadable(Exception):  # noqa: N818 - not an error: the reader gives up on one expression
    pass


def collect(house: House) -> Collection:
    """Walk from the doors that are known to those who hand them something, until nobody new is found."""
    calls: dict[str, list[tuple[Module, ast.Call, Door]]] = {}
    for module in house.modules.values():
        for call in module.calls:
            for door in house.doors(module, call):
                calls.setdefault(door.name, []).append((module, call, door))
    found = Collection()
    pending = {Handed(name, parameter, True) for name, taken in DOORS.items() for parameter in taken}
    pending |= {Handed(name, parameter, False) for name, taken in PHRASES.items() for parameter in taken}
    for table in TABLES:
        _take_table(house, table, found)
    seen: set[Handed] = set()
    while pending - seen:
        now = min(pending - seen, key=lambda each: (not each.whole, each.door, each.parameter))
        seen |= {now, Handed(now.door, now.parameter, False)}  # what may be a sentence is no mere phrase
        for module, call, door in calls.get(now.door, ()):
            for expression in _argument(call, door, now.parameter) if door.sure or now.whole else ():
                _Reader(house, module, found, pending).take(expression, whole=now.whole)
    return found


def _take_table(house: House, name: str, found: Collection) -> None:
    module, _, statement = house.find(name) or (None, "", None)
    value = getattr(statement, "value", None)
    if module is None or value is None:
        found.unreadable.add(f"{name.replace('.', '/')}: no such table")
        return
    table = value.args[0] if isinstance(value, ast.Call) else value
    rows = table.values if isinstance(table, ast.Dict) else table.elts if isinstance(table, ast.Tuple) else [table]
    for each in (row.elts[0] if isinstance(row, ast.Tuple) else row for row in rows):
        found.sentences.add(Sentence(ast.literal_eval(each), module.place(each), whole=False))


def _argument(call: ast.Call, door: Door, parameter: str) -> Iterator[ast.expr]:
    at = door.takes.index(parameter) if parameter in door.takes else len(call.args)
    if at < len(call.args) and not any(isinstance(each, ast.Starred) for each in call.args[: at + 1]):
        yield call.args[at]
    yield from (each.value for each in call.keywords if each.arg == parameter)


class _Reader:
    """Reads one expression of one module."""

    def __init__(
        self,
        house: House,
        module: Module,
        found: Collection,
        handed: set[Handed],
        *,
        within: frozenset[ast.AST] = frozenset(),
    ) -> None:
        self._house, self._module, self._found, self._handed = house, module, found, handed
        self._open: set[ast.expr] = set()
        self._within = within  # functions whose answers, and choices whose words, are being read

    def take(self, expression: ast.expr, *, whole: bool) -> None:
        """Collect what an expression can say; a phrase that is a mere value says nothing."""
        if not whole:
            self._take_phrase(expression)
            return
        try:
            self._keep(expression, self.read(expression), whole=True)
        except _Unreadable as reason:
            place = self._module.place(expression)
            self._found.unreadable.add(f"{place}: {ast.unparse(expression)} ({reason})")

    def _take_phrase(self, expression: ast.expr) -> None:
        self._keep(expression, self._literal(expression), whole=False)
        if not isinstance(expression, ast.JoinedStr):
            self._into_place(expression)

    def _keep(self, expression: ast.expr, said: list[str], *, whole: bool) -> None:
        for text in said:
            words = re.sub(r"\{\w*\}", "", text)
            if re.search(r"[^\W\d_]|[:;(]", words) and (whole or " " in text.strip()):  # else a mere value
                self._found.sentences.add(Sentence(text, self._module.place(expression), whole))

    def read(self, node: ast.expr) -> list[str]:
        """All that an expression can say, places in braces; nothing for what was collected where it was made."""
        if node in self._open:
            raise _Unreadable("it is made of itself")
        self._open.add(node)
        try:
            said = self._read(node)
        finally:
            self._open.discard(node)
        if len(said) > MOST_CHOICES:
            raise _Unreadable("too many choices")
        return said

    def _read(self, node: ast.expr) -> list[str]:  # noqa: PLR0911 - one answer for each kind of expression
        match node:
            case ast.Constant(value=str(text)):
                return [text.replace("{", "{{").replace("}", "}}")]
            case ast.Constant(value=None):
                return []
            case ast.JoinedStr():
                return self._joined(node)
            case ast.IfExp():
                return [*self.read(node.body), *self.read(node.orelse)]
            case ast.BoolOp():
                return [text for each in node.values for text in self.read(each)]
            case ast.Tuple() | ast.List():
                return [text for each in node.elts for text in self.read(each)]
            case ast.Starred():
                return self.read(node.value)
            case ast.GeneratorExp() | ast.ListComp():
                return self.read(node.elt)
            case ast.Subscript(value=ast.Name() as table):
                return self._constant(table)
            case ast.Name():
                return self._name(node)
            case ast.Attribute():
                return self._attribute(node)
            case ast.Call():
                return self._call(node)
        raise _Unreadable(f"a {type(node).__name__}")

    def _joined(self, node: ast.JoinedStr) -> list[str]:
        parts: list[list[str]] = []
        for part in node.values:
            if isinstance(part, ast.Constant):
                parts.append([str(part.value).replace("{", "{{").replace("}", "}}")])
            elif isinstance(part, ast.FormattedValue):
                parts.append(self._literal(part.value) or [f"{{{_place_name(part.value)}}}"])
                if parts[-1][0].startswith("{"):
                    self._into_place(part.value)
        return ["".join(choice) for choice in itertools.product(*parts)]

    def _literal(self, node: ast.expr) -> list[str]:
        """What stands in a place, where it is a choice of fixed words."""
        if isinstance(node, ast.IfExp | ast.Constant | ast.JoinedStr):
            reader = _Reader(self._house, self._module, self._found, self._handed, within=self._within | {node})
            reader._open = self._open
            try:
                return reader.read(node)
            except _Unreadable:
                return []
        if isinstance(node, ast.Name):
            values = [*self._assigned(node), *self._top(node)]
            readable = all(isinstance(each, ast.IfExp | ast.Constant | ast.JoinedStr) for each in values)
            if values and readable and self._open.isdisjoint(values):
                return [text for each in values for text in self._literal(each)]
        return []

    def _into_place(self, node: ast.expr) -> None:
        """Note what comes to stand in a place: parameters, and phrases that a function of ours makes up."""
        for name in _names_shown(node):
            self._handed.update(self._parameter(name, whole=False))
        made = [node, *(self._assigned(node) if isinstance(node, ast.Name) else ())]
        for call in (each for each in made if isinstance(each, ast.Call)):
            found = self._answering(call)
            if found and isinstance(found[2], ast.FunctionDef):
                reader = _Reader(self._house, found[0], self._found, self._handed)
                for value in _returns(found[2]):
                    reader._keep(value, reader._literal(value), whole=False)

    def _name(self, node: ast.Name) -> list[str]:
        handed = list(self._parameter(node, whole=True))
        if handed and self._within:
            raise _Unreadable(f"{node.id} of a function that answers it")
        self._handed.update(handed)
        values = [*self._assigned(node), *self._by_default(node)]
        if not handed and not values:
            return self._constant(node)
        return [text for value in values for text in self.read(value)]

    def _top(self, node: ast.expr) -> Iterator[ast.expr]:
        found = self._house.named(self._module, node)
        value = getattr(found[2], "value", None) if found else None
        if isinstance(value, ast.expr):
            yield value

    def _constant(self, node: ast.expr) -> list[str]:
        found = self._house.named(self._module, node)
        value = getattr(found[2], "value", None) if found else None
        if found is None or not isinstance(value, ast.expr):
            raise _Unreadable(f"no text is called {ast.unparse(node)}")
        reader = _Reader(self._house, found[0], self._found, self._handed)
        if isinstance(value, ast.Dict):
            return [text for each in value.values for text in reader.read(each)]
        return reader.read(value)

    def _attribute(self, node: ast.Attribute) -> list[str]:
        if node.attr in PASSED:
            return []
        if isinstance(node.value, ast.Name) and node.value.id == "self":
            return [text for value in self._appended(node) for text in self.read(value)]
        return self._constant(node)

    def _call(self, node: ast.Call) -> list[str]:
        if isinstance(node.func, ast.Name) and node.func.id in {"tuple", "sorted", "list"}:
            return self.read(node.args[0])
        found = self._answering(node)
        if found is None or not isinstance(found[2], ast.FunctionDef) or found[2] in self._within:
            raise _Unreadable(f"what {ast.unparse(node.func)} returns")
        within = self._within | {found[2]}
        reader = _Reader(self._house, found[0], self._found, self._handed, within=within)
        return [text for value in _returns(found[2]) for text in reader.read(value)]

    def _answering(self, call: ast.Call) -> tuple[Module, str, ast.stmt] | None:
        """The function that answers a call: by its name, or a method of the object's own class."""
        return self._house.named(self._module, call.func) or self._house.own_method(self._module, call)

    def _parameter(self, node: ast.Name, *, whole: bool) -> Iterator[Handed]:
        for name, around in self._module.enclosing(node):
            if isinstance(around, ast.FunctionDef) and node.id in parameters(around, method=False):
                yield Handed(f"{self._module.name}.{name.removesuffix('.__init__')}", node.id, whole)
                return

    def _assigned(self, node: ast.Name) -> list[ast.expr]:
        """What a local name is made of: assignments, what was appended, what a loop walks over."""
        around = next((each for _, each in self._module.enclosing(node) if isinstance(each, ast.FunctionDef)), None)
        return self._module.locals_of(around).get(node.id, []) if around else []

    def _by_default(self, node: ast.Name) -> list[ast.expr]:
        """What a parameter says where nothing is given for it."""
        for _, around in self._module.enclosing(node):
            if isinstance(around, ast.FunctionDef) and node.id in parameters(around, method=False):
                return default_of(around, node.id)
        return []

    def _appended(self, node: ast.Attribute) -> Iterator[ast.expr]:
        for call in self._module.calls:
            if (
                isinstance(call.func, ast.Attribute)
                and call.func.attr in {"append", "extend"}
                and ast.unparse(call.func.value) == ast.unparse(node)
            ):
                yield call.args[0]


def _returns(function: ast.FunctionDef) -> Iterator[ast.expr]:
    for node in ast.walk(function):
        if isinstance(node, ast.Return | ast.Yield | ast.YieldFrom) and node.value is not None:
            yield node.value


def _names_shown(node: ast.expr) -> Iterator[ast.Name]:
    """The names whose own words come to stand in a place: alone, by choice, or joined."""
    match node:
        case ast.Name():
            yield node
        case ast.IfExp(body=one, orelse=other):
            yield from (*_names_shown(one), *_names_shown(other))
        case ast.BoolOp(values=values):
            yield from (name for each in values for name in _names_shown(each))
        case ast.Call(func=ast.Attribute(value=ast.Constant(), attr="join"), args=[joined]):
            yield from _names_shown(joined)
        case ast.Call(func=ast.Name(id="sorted"), args=[ordered, *_]):
            yield from _names_shown(ordered)


def _place_name(node: ast.expr) -> str:
    """A name for a place: the last word of what stands in it."""
    words = [word.strip("_").lower() for word in re.findall(r"[A-Za-z_]\w*", ast.unparse(node))]
    plain = [word for word in words if word and word not in {"join", "sorted", "str", "len", "self", "min", "r", "s"}]
    return plain[-1] if plain else "value"
