"""What leaves a site: only documents of the frozen formats, rounded places, no person's name, nothing of the notebook.

Every byte that lies on a stick is looked at, bundles unpacked.
"""

from __future__ import annotations

import gzip
import json
import re
import stat
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from fieldbook.notebook import PhotoToKeep
from fieldbook.review import body_faults
from fieldbook.site import Founding, NewSite, Site, begin_site
from tests.demonstration import demonstration
from tests.orrendal import PASSPHRASE, copy_of_circle, fast_folder, noon, practice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle

SCHEMAS = Path(__file__).resolve().parent.parent.parent / "schemas"
MONTHS = range(1, 13)
# what people, animals and places are known by, and what no document of ours may have a field for
FORBIDDEN_WORDS = frozenset(
    {
        "phone",
        "email",
        "mail",
        "address",
        "street",
        "shelter",
        "block",
        "gps",
        "coordinates",
        "longitude",
        "surname",
        "forename",
        "birth",
        "born",
        "gender",
        "sex",
        "ethnic",
        "religion",
        "faith",
        "nationality",
        "passport",
        "ration",
        "household",
        "health",
        "pregnant",
        "status",
        "legal",
        "beneficiary",
    }
)


@cache
def validator(name: str) -> Draft202012Validator:
    return Draft202012Validator(json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8")))


def files_on(stick: Path) -> Iterator[tuple[str, bytes]]:
    """Each file on a stick, by its place in the network's folder; bundles unpacked."""
    for path in sorted(stick.rglob("*")):
        if path.is_file():
            data = path.read_bytes()
            place = path.relative_to(stick).as_posix().partition("/")[2]
            yield place, gzip.decompress(data) if path.suffix == ".bundle" else data


def bodies_on(stick: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Kind and body of every statement on a stick."""
    for place, data in files_on(stick):
        if place.endswith(".bundle"):
            _, headers, bodies, _ = (json.loads(line) for line in data.splitlines())
            yield from ((header["kind"], body) for header, body in zip(headers, bodies, strict=True))


def faults_on(stick: Path) -> list[str]:
    """Whatever on a stick is not valid by its schema, or has none."""
    found = []
    for place, data in files_on(stick):
        if place.endswith(".bundle"):
            lines = [json.loads(line) for line in data.splitlines()]
            found += [f"{place}: {error.message[:200]}" for error in validator("bundle").iter_errors(lines)]
            rows = zip(*lines[1:], strict=True)
            found += [
                f"{place}: {e.message[:200]}" for row in rows for e in validator("statement").iter_errors(list(row))
            ]
        elif not place.startswith("attachments/"):
            kind = "network" if place == "network.json" else place.partition("/")[0].removesuffix("s")
            found += [f"{place}: {error.message[:200]}" for error in validator(kind).iter_errors(json.loads(data))]
    for kind, body in bodies_on(stick):
        if kind.startswith("fieldbook/"):
            name = {"fieldbook/edition": "entry"}.get(kind, kind.removeprefix("fieldbook/"))
            found += [f"{kind}: {error.json_path} {error.message[:200]}" for error in validator(name).iter_errors(body)]
    return found


@pytest.mark.xdist_group("demonstration")
def test_everything_that_the_demonstration_leaves_is_valid_by_its_schema() -> None:
    stick = demonstration().folder / "stick"
    assert {kind for kind, _ in bodies_on(stick)} >= {"fieldbook/edition", "fieldbook/approval", "fieldbook/site"}
    assert faults_on(stick) == []


def test_everything_that_people_can_say_of_an_edition_is_valid_by_its_schema(circle: Circle) -> None:
    site, reviewer = circle["C"], circle.signer("C3")
    names = [circle.write("C1", practice(f"Onions {number}")) for number in range(4)]
    circle.approve("C3", names[0])
    site.retire(names[0], signer=reviewer, reason="There is a better way.", replaced_by=names[1])
    site.send_back(names[1], signer=reviewer, reason="Say how much.")
    site.hold(names[2], signer=reviewer, reason="A hen died.")
    site.release(names[2], signer=reviewer)
    circle.recall("C3", names[3])
    circle.write("C1", practice("Made from it"), after=[names[2]], adaptation=True)
    circle.carry("C")
    kinds = {kind.removeprefix("fieldbook/") for kind, _ in bodies_on(circle.stick)}
    assert kinds >= {"edition", "approval", "retirement", "sent-back", "hold", "recall", "site"}
    assert faults_on(circle.stick) == []


def test_a_wish_to_join_is_valid_by_its_schema() -> None:
    with copy_of_circle(fast_folder()) as circle:
        circle.carry("C")
        folder = circle.folder / "new"
        begin_site(folder, peculiar_site("N"), founding=None)
        site = Site.open(folder, clock=noon)
        site.request_join(circle.stick)
        site.close()
        assert [place for place, _ in files_on(circle.stick) if place.startswith("joining/")]
        assert faults_on(circle.stick) == []


def peculiar_site(letter: str) -> NewSite:
    """A place whose every figure stands out."""
    rows = [f"{month},{91 + month}.37,{11 + month / 10:.1f}7,{27 + month / 10:.1f}3" for month in MONTHS]
    return NewSite(
        name="Farwater",
        letter=letter,
        latitude_deg="-25.43771",
        elevation_m="563.29",
        normals="\n".join(["month,rain_mm,tmin_c,tmax_c", *rows]),
        languages=("so", "fr"),
        frost_months=(6, 7),
        salt_water_months=(2,),
    )


@pytest.fixture(scope="module")
def peculiar() -> Iterator[tuple[Site, Path]]:
    """A site of such a place, in a network of its own, that has left all it has on a stick."""
    root = fast_folder()
    begin_site(root / "site", peculiar_site("P"), founding=Founding("Far Circle", "P1", PASSPHRASE))
    site = Site.open(root / "site", clock=noon)
    site.write(practice("A draft of ours"), signer=site.unlock("P1", PASSPHRASE), draft=True)
    site.write(practice("Left for all"), signer=site.unlock("P1", PASSPHRASE))
    (root / "stick").mkdir()
    site.exchange(root / "stick")
    yield site, root / "stick"
    site.close()


def test_what_a_site_says_of_its_place_is_rounded(peculiar: tuple[Site, Path]) -> None:
    _, stick = peculiar
    (said,) = (body for kind, body in bodies_on(stick) if kind == "fieldbook/site")
    assert said == {
        "languages": ["so", "fr"],
        "latitude_deg": -25,
        "elevation_m": 600,
        "rain_mm": [90, 95, 95, 95, 95, 95, 100, 100, 100, 100, 100, 105],
        "tmin_c": ["11.0", "11.5", "11.5", "11.5", "11.5", "11.5", "12.0", "12.0", "12.0", "12.0", "12.0", "12.5"],
        "tmax_c": ["27.0", "27.0", "27.5", "27.5", "27.5", "27.5", "27.5", "28.0", "28.0", "28.0", "28.0", "28.0"],
    }


def test_no_exact_figure_and_nothing_of_the_notebook_is_anywhere_on_a_stick(peculiar: tuple[Site, Path]) -> None:
    site, stick = peculiar
    everything = b"\0".join(place.encode() + b"\0" + data for place, data in files_on(stick))
    normals = str(site.notebook.fact("normals"))
    exact = [figure for row in normals.splitlines()[1:] for figure in row.split(",")[1:]]
    person = site.notebook.person("P1")
    assert person is not None
    secrets = ["25.43", "563.29", *exact, "A draft of ours", person.locked, json.loads(person.locked)["salt"]]
    secrets += [site.site_key.seed.hex(), "frost_months", "salt_water_months", "normals"]
    assert b"Left for all" in everything  # so the scan sees what is there
    assert [secret for secret in secrets if secret.encode() in everything] == []
    assert site.site_key.seed not in everything


FIGURES = st.lists(
    st.tuples(st.decimals(0, 900, places=1), st.decimals(-25, 25, places=1), st.decimals(1, 20, places=1)),
    min_size=12,
    max_size=12,
)


@given(
    figures=FIGURES,
    latitude=st.decimals(-66, 66, places=3),
    elevation=st.decimals(0, 4000, places=1),
)
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_any_place_is_rounded_to_the_nearest_step_and_stays_in_form(
    peculiar: tuple[Site, Path], figures: list[tuple[Decimal, Decimal, Decimal]], latitude: Decimal, elevation: Decimal
) -> None:
    """Latitude 1°, elevation 100 m, rain 5 mm, temperature 0.5 °C; below zero too."""
    site, _ = peculiar
    rows = [f"{month},{rain},{tmin},{tmin + span}" for month, (rain, tmin, span) in enumerate(figures, start=1)]
    kept = {name: site.notebook.fact(name) for name in ("normals", "latitude_deg", "elevation_m")}
    try:
        site.notebook.set_fact("normals", "\n".join(["month,rain_mm,tmin_c,tmax_c", *rows]))
        site.notebook.set_fact("latitude_deg", str(latitude))
        site.notebook.set_fact("elevation_m", str(elevation))
        said = site.rounded_facts()
    finally:
        for name, value in kept.items():
            site.notebook.set_fact(name, value)
    assert body_faults("fieldbook/site", said) == ()
    assert list(validator("site").iter_errors(said)) == []
    pairs = [(said["latitude_deg"], latitude, "1"), (said["elevation_m"], elevation, "100")]
    for month, (rain, tmin, span) in enumerate(figures):
        pairs += [(said["rain_mm"][month], rain, "5"), (said["tmin_c"][month], tmin, "0.5")]
        pairs += [(said["tmax_c"][month], tmin + span, "0.5")]
    assert "-0.0" not in (*said["tmin_c"], *said["tmax_c"])
    for shown, exact, step in pairs:
        assert Decimal(shown) % Decimal(step) == 0
        assert abs(Decimal(shown) - exact) <= Decimal(step) / 2


@pytest.mark.parametrize("schema", sorted(path.name for path in SCHEMAS.glob("*.schema.json")))
def test_no_document_has_a_field_for_what_a_person_is_known_by(schema: str) -> None:
    def names(value: Any) -> Iterator[str]:
        if isinstance(value, dict):
            yield from value.get("properties", {})
            for inner in value.values():
                yield from names(inner)
        elif isinstance(value, list):
            for inner in value:
                yield from names(inner)

    found = set(names(json.loads((SCHEMAS / schema).read_text(encoding="utf-8"))))
    assert {name for name in found if FORBIDDEN_WORDS.intersection(re.split(r"[_-]", name.lower()))} == set()


def test_people_appear_by_letter_and_number_alone(circle: Circle) -> None:
    circle.carry("CTLS")
    people = [body for kind, body in bodies_on(circle.stick) if kind == "sync/person"]
    reviewers = [b for kind, b in bodies_on(circle.stick) if kind == "sync/grant" and b["role"] == "reviewer"]
    assert people
    assert reviewers
    for body in (*people, *reviewers):
        assert re.fullmatch(r"[CTLS][1-9]", body["name"])
    assert all(set(body) == {"key", "name", "role"} for body in people)


def test_keys_and_the_notebook_are_for_this_user_alone(circle: Circle) -> None:
    site = circle["C"]
    site.notebook.add_draft(author="C1", document={}, photos=[PhotoToKeep("x", "", b"full", b"thumb")])
    folder = circle.place("C")
    private = [folder / "site.key", *folder.glob("notebook.sqlite*"), *(folder / "home_photos").iterdir()]
    assert len(private) >= 4
    for path in private:
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name
    for path in (folder, folder / "home_photos"):
        assert stat.S_IMODE(path.stat().st_mode) == 0o700, path.name
