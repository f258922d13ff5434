"""A whole data folder to a dataset."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Annotated

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wristward.data.checks.part import Part
from wristward.data.checks.ring_faults import ring_area
from wristward.data.dataset import Dataset
from wristward.data.read import read_dataset
from wristward.data.records.record import Id, Record, Refers, Sourced, StructureId
from wristward.errors import DataError

SMALL = Path(__file__).parent / "small"


@pytest.fixture
def small(tmp_path) -> Path:
    """A copy of the small arm."""
    shutil.copytree(SMALL, tmp_path / "small")
    return tmp_path / "small"


def write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def problems_of(*arguments, **options) -> list[str]:
    with pytest.raises(DataError) as raised:
        read_dataset(*arguments, **options)
    return str(raised.value).splitlines()


def test_the_small_arm_reads_whole():
    """Levels fall from elbow to wrist; structures, words and relations come by id, in the order of the files."""
    dataset = read_dataset(SMALL, parts=())

    assert [200.0, 100.0, 0.0] == [level.z_mm for level in dataset.levels]
    assert ["radius", "ulna", "interosseous_membrane", "flexor", "extensor"] == list(dataset.structures)[:5]
    assert {
        "title": "A made-up arm",
        "section.heading": "Section at {z_mm} mm",
        "figure.no_script": "Drawn without a script.",
    } == dataset.words
    assert [("nerve_by_artery", "gap", (20.0, 180.0))] == [(r.id, r.kind, r.z_mm) for r in dataset.relations]
    assert [("middle_nerve", 1.0)] == [(s.nerve, s.share) for s in dataset.structures["flexor"].supply]
    assert "Bends." == dataset.structures["flexor"].actions.says


def test_sources_are_taken_from_around():
    """A knot takes its file's source, a belly its muscle's; a fact keeps its own and what its source was read as."""
    dataset = read_dataset(SMALL, parts=())
    knot = dataset.levels[0].nerves["middle_nerve"]
    belly = dataset.structures["flexor"].belly
    (fact,) = dataset.structures["middle_nerve"].facts

    assert ("own_drawing", 1, None) == (knot.source, knot.confidence, knot.seen)
    assert ("common_practice", 2, None) == (belly.source, belly.confidence, belly.seen)
    assert ("study_2020", 2, "abstract") == (fact.source, fact.confidence, fact.seen)


def test_the_confidence_of_another_source_is_not_taken(small):
    """A map with a source of its own needs a confidence of its own."""
    change(small / "levels" / "z100.yaml", "area_mm2: 7,", "area_mm2: 7, source: study_2020,")

    assert [
        "small/levels/z100.yaml:18:17: 'confidence' is missing for source 'study_2020' (allowed: 1, 2 or 3)"
    ] == problems_of(small, parts=())


def test_every_record_knows_its_place():
    """Structures, levels, relations, sources, words, landmarks and arms stand where they were written."""
    dataset = read_dataset(SMALL, parts=())
    asked = [("structure", "ulna"), ("level", 100), ("relation", "nerve_by_artery"), ("source", "study_2020")]
    asked += [("word", "section.heading"), ("landmark", "elbow_crease"), ("arm", "mean")]

    assert [
        ("structures/bones.yaml", 12, 3),
        ("levels/z100.yaml", 2, 7),
        ("relations.yaml", 3, 5),
        ("sources.yaml", 9, 3),
        ("reader/en.yaml", 4, 3),
        ("region.yaml", 15, 3),
        ("region.yaml", 18, 3),
    ] == [(m.file.split("small/")[1], m.line, m.col) for m in (dataset.where(*place) for place in asked)]
    with pytest.raises(KeyError):
        dataset.where("structure", "nobody")


def test_every_file_read_is_listed(small, tmp_path):
    """A preview can watch every file that counts, those of overlays too; others are left alone."""
    write(small / "README.md", "not data")
    write(small / "schema" / "level.yaml", "not data")
    write(small / ".hidden.yaml", "not data")
    over = write(tmp_path / "over" / "region.yaml", "reference_length_mm: 200")
    files = read_dataset(small, [tmp_path / "over"], parts=()).files
    kept = {path for path in small.rglob("*.yaml") if path.parent.name != "schema" and path.name != ".hidden.yaml"}

    assert tuple(sorted({*kept, over})) == files


def test_outlines_are_taken_in_both_directions(small):
    """A clockwise ring, closed or not, comes out anticlockwise and open."""
    before = read_dataset(small, parts=()).levels[1].bones["radius"].outline
    ring = [list(point) for point in before]
    text = (small / "levels" / "z100.yaml").read_text()
    line = next(line for line in text.splitlines() if line.startswith("  radius:"))
    change(small / "levels" / "z100.yaml", line, f"  radius: {{outline: {[*ring[::-1], ring[-1]]}}}")
    after = read_dataset(small, parts=()).levels[1].bones["radius"].outline

    assert (len(before), ring_area(before)) == pytest.approx((len(after), ring_area(after)))
    assert set(before) == set(after)


def test_overlays_change_delete_and_add(small, tmp_path):
    """Overlays apply in their order, to files, maps, lists by id and words."""
    first, second = tmp_path / "first", tmp_path / "second"
    write(first / "levels" / "z100.yaml", "nerves: {middle_nerve: {area_mm2: 8}}")
    write(first / "knots" / "z150.yaml", "z_mm: 150\nsource: own_drawing\nconfidence: 1\nfill: 0.9\n")
    write(first / "relations.yaml", "relations: {nerve_by_artery: {z_mm: [30, 40]}}")
    write(second / "levels" / "z100.yaml", "nerves: {middle_nerve: {tilt_deg: null, area_mm2: 9}}")
    write(second / "reader" / "en.yaml", "title: Another arm")
    dataset = read_dataset(small, [first, second], parts=())
    knot = dataset.levels[1].nerves["middle_nerve"]

    assert [200.0, 150.0, 100.0, 60.0, 0.0] == [one.z_mm for one in dataset.levels_and_knots()]
    assert (9.0, None, 1.4) == (knot.area_mm2, knot.tilt_deg, knot.width_to_height)
    assert [(30.0, 40.0)] == [relation.z_mm for relation in dataset.relations]
    assert ("Another arm", "Section at {z_mm} mm") == (dataset.words["title"], dataset.words["section.heading"])


def test_errors_of_an_overlay_name_the_overlay(small, tmp_path):
    """A mistake in an overlay is answered with the overlay's file, not the base's."""
    write(tmp_path / "course" / "levels" / "z100.yaml", "nerves:\n  middle_nerve: {area_mm2: -8, aera: 1}\n")
    write(tmp_path / "course" / "structures" / "soft.yaml", "structures: {skin_vain: null}")

    assert [
        "course/levels/z100.yaml:2:28: area_mm2 is -8, must be more than 0",
        "course/levels/z100.yaml:2:32: unknown key 'aera' (allowed: area_mm2, at, bearing_deg, confidence, "
        "depth_share, note, rows, seen, source, tilt_deg, width_to_height)",
        "course/structures/soft.yaml:1:14: nothing to delete: 'skin_vain' is not in small/structures/soft.yaml; "
        "did you mean 'skin_vein'?",
    ] == problems_of(small, [tmp_path / "course"], parts=())


def test_what_cannot_be_read_starts_no_second_complaint(small):
    """A file that could not be read does not make the names it defines unknown elsewhere."""
    (small / "sources.yaml").write_bytes(b"sources: [")
    (small / "structures" / "soft.yaml").write_bytes(b"\xff\xfe")

    assert [
        "small/sources.yaml:1:11: a value is missing here",
        "small/structures/soft.yaml:1:1: the file is UTF-16 (allowed: UTF-8; save it again as UTF-8)",
    ] == problems_of(small, parts=())


class Twig(Sourced):
    """A made-up record of another layer."""

    of: StructureId
    after: Annotated[str, Refers("twig")] | None = None


class Twigs(Record):
    """A made-up file of another layer."""

    twigs: dict[Id, Twig]


TWIGS = Part(
    name="twigs",
    file="twigs.yaml",
    record=Twigs,
    defines={"twig": "twigs"},
    check=lambda file, dataset: [
        (("twigs", name, "of"), f"'{twig.of}' is no nerve")
        for name, twig in file.twigs.items()
        if dataset.structures[twig.of].kind != "nerve"
    ],
)


def test_a_registered_part_is_read_and_checked_like_the_rest(small):
    """A further file gets the same names, sources and places, and its own check; unregistered, it is refused."""
    path = write(small / "twigs.yaml", "twigs:\n  a: {of: middle_nerve, source: own_drawing, confidence: 1}\n")
    dataset = read_dataset(small, parts=[TWIGS])

    assert "middle_nerve" == dataset.parts["twigs"].twigs["a"].of
    assert ("small/twigs.yaml", 2, 3) == tuple(dataset.where("twig", "a"))
    assert [
        "small/twigs.yaml:1:1: this file is not read (allowed: arms/*.yaml, knots/*.yaml, levels/*.yaml, reader/*.yaml, reader/*/*.yaml, "
        "region.yaml, relations.yaml, sources.yaml, structures/*.yaml)"
    ] == problems_of(small, parts=())
    change(path, "of: middle_nerve", "of: flexor")
    assert ["small/twigs.yaml:2:11: 'flexor' is no nerve"] == problems_of(small, parts=[TWIGS])
    change(path, "of: flexor", "of: flexr, after: b")
    assert [
        "small/twigs.yaml:2:11: unknown structure 'flexr'; did you mean 'flexor'? (allowed: extensor, flexor, "
        "interosseous_membrane, middle_artery, middle_nerve, radius, skin_vein, ulna)",
        "small/twigs.yaml:2:25: unknown twig 'b' (allowed: a)",
    ] == problems_of(small, parts=[TWIGS])


FILES = ("levels/z100.yaml", "structures/soft.yaml", "region.yaml", "sources.yaml", "relations.yaml", "reader/en.yaml")
VALUES = st.recursive(
    st.sampled_from(["1", "-3", "x", "null", "true", "''", "flexor", "own_drawing", "1e9", "[0, 1]", "subcutaneous"]),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda entries: f"[{', '.join(entries)}]")
        | st.dictionaries(st.sampled_from(["z_mm", "of", "kind", "x"]), inner, max_size=3).map(
            lambda entries: "{" + ", ".join(f"{key}: {entry}" for key, entry in entries.items()) + "}"
        )
    ),
    max_leaves=6,
)


@st.composite
def broken_files(draw) -> tuple[str, str]:
    """Take a file of the small arm and damage it: a value, a line, or a run of characters."""
    name = draw(st.sampled_from(FILES))
    text = (SMALL / name).read_text(encoding="utf-8")
    for _ in range(draw(st.integers(1, 3))):
        lines = text.split("\n")
        where = draw(st.integers(0, len(lines) - 1))
        how = draw(st.sampled_from(["value", "drop", "repeat", "noise"]))
        if how == "value":
            lines[where] = lines[where].split(":")[0] + ": " + draw(VALUES)
        elif how == "drop":
            del lines[where]
        elif how == "repeat":
            lines.insert(where, lines[draw(st.integers(0, len(lines) - 1))])
        else:
            col = draw(st.integers(0, len(lines[where])))
            rest = lines[where][col + draw(st.integers(0, 4)) :]
            lines[where] = lines[where][:col] + draw(st.text(max_size=5)) + rest
        text = "\n".join(lines) or "\n"
    return name, text


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(broken_files() | st.tuples(st.sampled_from(FILES), st.text(max_size=60)))
def test_any_text_gives_a_dataset_or_its_problems(tmp_path, broken):
    """Whatever stands in a file, reading ends with a dataset or with problems in that folder, never otherwise."""
    name, text = broken
    folder = tmp_path / "small"
    if not folder.is_dir():
        shutil.copytree(SMALL, folder)
    (folder / name).write_bytes(text.encode("utf-8", "surrogatepass"))
    try:
        found = read_dataset(folder, parts=())
    except DataError as error:
        found = error
    finally:
        shutil.copyfile(SMALL / name, folder / name)

    assert isinstance(found, Dataset) or all(problem.file.startswith("small/") for problem in found.problems)
