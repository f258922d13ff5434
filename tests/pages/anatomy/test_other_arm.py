"""What pages say of the arms that are drawn otherwise, and that a built site shows each of them."""

from __future__ import annotations

import json
import subprocess

import pytest

from tests.projects import ROOT, command_line
from tests.waiting import rest
from wristward.pages.anatomy.other_arm import arm_words
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.branches import variants_page
from wristward.project.solved import OtherArm

ARM = "superficial_ulnar_artery"


@pytest.fixture(scope="module")
def atlas(dataset):
    """The shipped data with its arms, without a section: what is said of an arm rests on none."""
    arms = {name: OtherArm(own={0: None}, measures={}) for name in dataset.arms}
    return Atlas(dataset=dataset, sections={0: None}, measures={}, arms=arms)


def test_an_arm_is_told_with_its_share_its_source_and_what_it_lifts(atlas, dataset):
    """Share and published range are those of branches.yaml, with the source; each lifted fact comes with its reason."""
    told = arm_words(atlas, ARM)
    variant = dataset.branches.variants[ARM]
    relations = {relation.id: relation for relation in dataset.relations}

    assert "joins the ulnar nerve near the wrist" in told["differs"]
    assert [variant.source] == [one["key"] for one in told["common"]]
    assert "Superficial ulnar artery: 2.5 % (published 0.7 to 9.4 %)" == told["common"][0]["text"]
    assert told["common"][0]["source"].endswith("; confidence 2 of 3")
    assert [relations[one].says for one in dataset.region.arms[ARM].lifts] == [one["says"] for one in told["lifted"]]
    assert [] == [one for one in told["lifted"] if not one["because"].endswith(".")]


def test_a_branch_says_how_its_studies_disagree(atlas):
    """Where definitions differ between studies, the share does not stand alone."""
    (told,) = arm_words(atlas, "high_ulnar_palmar_branch")["common"]

    assert "55 %. Definitions differ" in told["text"]


def test_variants_lead_to_their_arms(atlas, dataset):
    """Each drawn arm is linked at the height where it differs most plainly, from the list and from its variants."""
    page = variants_page(atlas)
    drawn = {name: arm for name, arm in dataset.region.arms.items() if not arm.is_scaled_only}
    expected = {f"(elbow-to-wrist.md?arm={name}&z={arm.z_mm:g})": 1 + len(arm.variants) for name, arm in drawn.items()}

    assert set(drawn) == set(dataset.arms) and drawn
    assert expected == {link: page.count(link) for link in expected}


def test_without_arms_the_page_says_nothing_of_them(dataset):
    """A site that leaves the arms out has no link that would lead nowhere."""
    page = variants_page(Atlas(dataset=dataset, sections={0: None}, measures={}))

    assert "?arm=" not in page


@pytest.mark.long
@pytest.mark.browser
def test_a_built_site_shows_every_arm(dataset, tmp_path, visit):
    """Each arm opens from its address without an error, and tells of a structure what the command line measures."""
    command, environment = command_line("build", "--site-dir", str(tmp_path / "site"))
    subprocess.run(command, cwd=ROOT, env=environment, check=True, stdout=subprocess.DEVNULL)
    assert dataset.arms
    for name in dataset.arms:
        z_mm = round(dataset.region.arms[name].z_mm)
        visited = visit((tmp_path / "site" / "elbow-to-wrist.html").as_uri() + f"?arm={name}&z={z_mm}")
        visited.page.wait_for_function("(arm) => location.hash.includes(`arm=${arm}`)", arg=name)
        visited.page.wait_for_function("document.querySelectorAll('[data-part=table] tbody tr').length > 0")
        visited.page.wait_for_function("globalThis.wristward.packedMeasures !== undefined")
        rest(visited.page)
        rows = visited.page.evaluate(
            "[...document.querySelectorAll('[data-part=table] tbody tr')].map(r => [r.children[0].firstChild.textContent, r.children[2].textContent])"
        )
        command, environment = command_line("section", "--z-mm", str(z_mm), "--arm", name, "--json")
        section = json.loads(subprocess.run(command, cwd=ROOT, env=environment, check=True, capture_output=True).stdout)
        names = {key: record.name for key, record in dataset.arms[name].structures.items()}
        wanted = {names[one["id"]]: one["depth_mm"] for one in section["structures"]}

        assert [] == visited.errors
        assert sorted(wanted) == sorted(row[0] for row in rows)
        assert [] == [row for row in rows if abs(float(row[1]) - wanted[row[0]]) > 0.56]
