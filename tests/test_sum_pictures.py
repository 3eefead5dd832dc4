"""Pictures of sums: well-formed, to scale, in one ink, and each with the same in words."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.quantities.spacing import places, plants_square, plants_triangular
from fieldbook.sum_pictures import Part, Span, Stop, bed_plan, divided_bar, loop, spans_picture

SVG = "{http://www.w3.org/2000/svg}"
_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=40)


def read(drawing: str) -> ET.Element:
    svg = ET.fromstring(drawing)  # noqa: S314 - our own text
    assert svg.get("role") == "img"
    assert svg.findtext(f"{SVG}title")
    assert svg.findtext(f"{SVG}desc")
    colours = {node.get(side) for node in svg.iter() for side in ("fill", "stroke")} - {None, "none", "#000", "#fff"}
    assert all(str(colour).startswith("url(#mix-") for colour in colours)
    used = set(re.findall(r"url\(#([\w-]+)\)", drawing))
    assert used <= {node.get("id") for node in svg.iter()}
    return svg


@given(st.lists(st.integers(0, 500), min_size=1, max_size=9))
@_QUICK
def test_the_parts_of_a_bar_are_as_long_as_their_shares(shares: list[int]) -> None:
    parts = [Part(f"part {n} <&> & co", share) for n, share in enumerate(shares)]
    svg = read(divided_bar(title="A mix", description="parts", parts=parts))
    widths = [
        float(found[1])
        for node in svg.iter(f"{SVG}path")
        if (found := re.match(r"M[\d.]+ 4h([\d.]+)v44", node.get("d") or ""))
    ]
    shown = [share for share in shares if share]
    assert len(widths) == len(shown)
    for width, share in zip(widths, shown, strict=True):
        assert width == pytest.approx(316 * share / sum(shown), abs=0.1)


@given(st.integers(100, 3000), st.integers(100, 3000), st.integers(60, 600), st.sampled_from(["square", "triangular"]))
@_QUICK
def test_a_plan_shows_as_many_plants_as_are_counted_each_in_the_bed(
    length: int, width: int, spacing: int, pattern: str
) -> None:
    if min(length, width) < spacing:
        return
    bed = {"length_mm": length, "width_mm": width, "spacing_mm": spacing}
    stand = places(**bed, pattern=pattern)
    count = plants_square(**bed) if pattern == "square" else plants_triangular(**bed)
    assert len(stand) == len(set(stand)) == count
    half = spacing / 2 - 1e-6
    assert all(half <= x <= length - half and half <= y <= width - half for x, y in stand)
    svg = read(bed_plan(title="Plants", description="so many", length_mm=length, width_mm=width, plants_mm=stand))
    dots = [node.get("d") or "" for node in svg.iter(f"{SVG}path")][1]
    assert dots.count("M") == count


def test_a_round_has_its_amounts_on_its_arrows_and_an_arrow_back() -> None:
    stops = (Stop(("birds: 2",), "40 g of dung"), Stop(("water: 5 kg of fish",), "old water"), Stop(("bed: 1 m²",), ""))
    svg = read(loop(title="Round", description="all of it", stops=stops, back="greens for the birds"))
    said = " ".join(node.text or "" for node in svg.iter(f"{SVG}text"))
    for words in ("birds: 2", "40 g of dung", "water: 5 kg of", "old water", "bed: 1 m²", "greens for the birds"):
        assert words in said


_ENDS = st.lists(st.integers(-4000, 4000), min_size=3, max_size=3).map(sorted)


@given(st.lists(_ENDS, min_size=1, max_size=6), st.sampled_from([0, 100]))
@_QUICK
def test_spans_lie_on_one_scale_and_their_ends_keep_their_distances(ends: list[list[int]], same: int) -> None:
    spans = [Span(f"site {n} <&>", a / 100, b / 100, c / 100) for n, (a, b, c) in enumerate(ends)]
    svg = read(
        spans_picture(title="Spans", description="so far", spans=spans, same=same / 100, same_words="no difference")
    )
    lines = [
        tuple(map(float, found.groups()))
        for node in svg.iter(f"{SVG}path")
        if (found := re.match(r"M([\d.]+) [\d.]+V[\d.]+M([\d.]+) ", node.get("d") or ""))
    ]
    dots = [float(node.get("cx") or "") for node in svg.iter(f"{SVG}circle")]
    assert len(lines) == len(dots) == len(spans)
    assert all(0 <= left <= dot <= right <= 320 for (left, right), dot in zip(lines, dots, strict=True))
    marks = [
        (float(node.get("x") or ""), float(node.text or ""))
        for node in svg.iter(f"{SVG}text")
        if node.get("text-anchor") == "middle"
    ]
    (first_x, first), *_, (last_x, last) = marks
    scale = (last_x - first_x) / (last - first)
    for span, (left, right), dot in zip(spans, lines, dots, strict=True):
        placed = [first_x + (value - first) * scale for value in (span.low, span.middle, span.high)]
        assert [left, dot, right] == pytest.approx(placed, abs=0.2)


def test_what_stands_for_all_is_drawn_unlike_the_others_and_a_figure_that_is_none_is_refused() -> None:
    drawing = spans_picture(
        title="Spans",
        description="so far",
        spans=[Span("one site", -3, -2, -1), Span("together", -4, -2, 0, together=True)],
        same=0,
        same_words="no difference",
    )
    assert len(list(read(drawing).iter(f"{SVG}circle"))) == 1
    with pytest.raises(ValueError, match="no finite number"):
        spans_picture(title="", description="", spans=[Span("x", 0, float("nan"), 1)], same=0, same_words="")
