"""A page taken apart as a strict reader would: what is not closed, not labelled, or pointed at and not there.

Not a test, and not a whole validator: it holds a page to the few rules of HTML and of WCAG 2.2 that a machine can keep
(4.1.2 names, 1.3.1 labels, 3.1.1 language, 2.4.1 skip link and landmarks).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = frozenset({"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})
ASKS = frozenset({"input", "select", "textarea"})
Attributes = dict[str, str | None]


@dataclass
class Page(HTMLParser):
    """One page: its faults in words, and what else a test asks of it."""

    faults: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    tags: list[tuple[str, Attributes]] = field(default_factory=list)
    _open: list[str] = field(default_factory=list)
    _unlabelled: list[str] = field(default_factory=list)
    _pointed: list[str] = field(default_factory=list)
    _labelled: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        """Begin reading."""
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag, and what it needs."""
        named = dict(attrs)
        self.tags.append((tag, named))
        if len(named) != len(attrs):
            self.faults.append(f"<{tag}> has an attribute twice")
        self._note_names(tag, named)
        self._note_asking(tag, named)
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag of a drawing, which closes itself."""
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Close a tag; it must be the one that was opened last."""
        if not self._open or self._open.pop() != tag:
            self.faults.append(f"</{tag}> closes what is not open")

    def _note_names(self, tag: str, named: Attributes) -> None:
        if (name := named.get("id")) is not None:
            if name in self.ids:
                self.faults.append(f"id {name} stands twice")
            self.ids.append(name)
        for pointer in ("aria-describedby", "aria-labelledby"):
            self._pointed += (named.get(pointer) or "").split()
        if tag == "a" and (named.get("href") or "").startswith("#"):
            self._pointed.append((named["href"] or "")[1:])
        if "style" in named or any(name.startswith("on") for name in named):
            self.faults.append(f"<{tag}> carries its own style or script")

    def _note_asking(self, tag: str, named: Attributes) -> None:
        if tag == "label" and named.get("for"):
            self._labelled.add(named["for"] or "")
        if tag == "img" and "alt" not in named:
            self.faults.append("a picture without alt")
        asks = tag in ASKS and named.get("type") not in {"hidden", "submit"}
        if asks and "label" not in self._open:
            self._unlabelled.append(named.get("id") or f"<{tag} name={named.get('name')}>")

    def judged(self) -> list[str]:
        """Every fault, after the whole page was read."""
        missing = [name for name in self._pointed if name not in self.ids]
        unlabelled = [name for name in self._unlabelled if name not in self._labelled]
        return [
            *self.faults,
            *(f"<{tag}> is never closed" for tag in self._open),
            *(f"{name} is pointed at and not there" for name in missing),
            *(f"{name} has no label" for name in unlabelled),
        ]


def read_page(html: str) -> Page:
    """Take a page apart."""
    page = Page()
    page.feed(html)
    page.close()
    return page
