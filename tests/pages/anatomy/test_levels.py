"""Readers meet the levels, the heights with a name, and no other height that is drawn: on pages, in tables, in links."""

import re
from dataclasses import replace

import pytest

from wristward.data.read import read_dataset
from wristward.data.records.region import LevelName
from wristward.locate import where_is_data
from wristward.pages.anatomy.level import level_page, levels_index
from wristward.pages.anatomy.structure import FEW, structure_page
from wristward.pages.atlas import FOLDERS, Atlas
from wristward.pages.leading_on import documents_leading_on

LEVEL = re.compile(r"\]\((?:\.\./levels/)?z(\d{3})\.md\)")
BETWEEN = re.compile(r"\]\(\.\./elbow-to-wrist\.md\?z=(\d+)\)")


def levels_in(markdown):
    return [float(height) for height in LEVEL.findall(markdown)]


def test_the_list_has_each_level_with_its_name(atlas, dataset):
    """Fourteen heights stand in the list, from the elbow down, each with a link to its page and its name."""
    rows = re.findall(
        r"^\| \[.*?\]\(z(\d{3})\.md\) \| (.+?) \|$", levels_index(atlas, here="levels/index.md"), re.MULTILINE
    )
    expected = [(one.z_mm, one.name[0].upper() + one.name[1:]) for one in dataset.region.level_names]

    assert 14 == len(rows)
    assert expected == [(float(height), name) for height, name in rows]


def test_pages_of_levels_lead_from_one_to_the_next(atlas):
    """From each level the way on leads to its two neighbours among the levels, and at the creases to the one there is."""
    heights = list(atlas.levels)
    found = {z_mm: levels_in(level_page(atlas, z_mm)) for z_mm in heights}

    assert {z_mm: heights[max(0, k - 1) : k] + heights[k + 1 : k + 2] for k, z_mm in enumerate(heights)} == found


def test_a_level_slides_on_from_its_own_height(atlas):
    """The button under a level's section opens Elbow to wrist where the reader is."""
    assert {z_mm: [f"{z_mm:.0f}"] for z_mm in atlas.levels} == {
        z_mm: BETWEEN.findall(level_page(atlas, z_mm)) for z_mm in atlas.levels
    }


def test_tables_of_structures_measure_at_levels_and_at_ends(atlas):
    """A structure is measured at each level that cuts it; where few do, at its ends too, shown on Elbow to wrist."""
    few = 0
    for id_ in (one for one, record in atlas.structures.items() if record.kind in FOLDERS and not record.parts):
        page, cut = structure_page(atlas, id_), atlas.cut_at(id_)
        levels = [z_mm for z_mm in atlas.levels if round(z_mm) in cut]
        ends = [z_mm for z_mm in (cut[0], cut[-1]) if z_mm not in levels] if len(levels) < FEW else []
        few += bool(ends)

        assert (id_, levels, ends) == (id_, levels_in(page), [int(height) for height in BETWEEN.findall(page)])
    assert few > 5


@pytest.mark.parametrize("language", ["en", "de", "es"])
def test_addresses_that_had_a_page_lead_on(atlas, language):
    """Each knot's old address leads on to its own height, by itself and by a link in the readers' language; no level's does."""
    dataset = read_dataset(where_is_data(), language=language)
    documents = documents_leading_on(Atlas(dataset=dataset, sections=atlas.sections, measures={}))
    to = {name: f"../elbow-to-wrist.html#z={int(name[8:11])}" for name in documents}
    texts = {name: content.decode("utf-8") for name, content in documents.items()}

    assert [f"levels/z{knot.z_mm:03.0f}.html" for knot in dataset.knots] == list(documents)
    assert 89 == len(documents)
    assert to == {
        name: re.search(r'http-equiv="refresh" content="0; url=([^"]+)"', text)[1] for name, text in texts.items()
    }
    link = {"en": "On to the section {}", "de": "Weiter zum Schnitt {}", "es": "Ir al corte situado {}"}[language]
    height = {"en": "3 cm above the wrist crease", "de": "3 cm oberhalb der Handgelenksbeugefalte"}
    height["es"] = "a 3 cm por encima del pliegue de la muñeca"
    assert f'<a href="../elbow-to-wrist.html#z=30">{link.format(height[language])}</a>' in texts["levels/z030.html"]
    assert [] == [name for name, text in texts.items() if f'<html lang="{language}">' not in text]
    assert [] == [name for name, text in texts.items() if '<meta name="robots" content="noindex">' not in text]


def test_a_height_that_is_only_named_is_a_level(dataset, arm_sections):
    """A name makes a level, drawn there or not: it has its page, and its address does not lead on."""
    heights = (141.0, 150.0)
    names = tuple(LevelName(z_mm=z_mm, name="look here") for z_mm in heights)
    region = dataset.region.model_copy(update={"level_names": (*dataset.region.level_names, *names)})
    atlas = Atlas(dataset=replace(dataset, region=region), sections=arm_sections, measures={})
    fresh = [z_mm for z_mm in atlas.levels if z_mm not in dataset.region.levels()]

    assert ([150.0, 141.0], {"Look here"}) == (fresh, {atlas.levels[z_mm] for z_mm in fresh})
    leading = documents_leading_on(atlas)
    assert len(dataset.knots) - 1 == len(leading) and "levels/z150.html" not in leading
