"""Names of directions, vectors on the picture, and the mirror image of a left arm."""

from __future__ import annotations

from tests.shapes import FRAME, WAYS, mirrored, section
from wristward.data.records.region import Frame
from wristward.measure.directions import Directions

RIGHT = section()


def test_vectors_follow_the_frame_and_the_side():
    """Along x a direction points the other way on a left arm, along y the same way."""
    vectors = [
        [WAYS.vector(cut, name) for name in ("ulnar", "volar", "radial", "dorsal")] for cut in (RIGHT, mirrored(RIGHT))
    ]

    assert [
        [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)],
        [(-1.0, 0.0), (0.0, 1.0), (1.0, 0.0), (0.0, -1.0)],
    ] == vectors


def test_opposites_are_two_pairs():
    """Each direction has one that points the other way, and is that one's."""
    assert ["radial", "dorsal", "ulnar", "volar"] == [WAYS.opposite(name) for name in WAYS.names]


def test_another_region_names_its_own():
    """Directions are called as the frame says, whatever the names."""
    leg = Frame.model_validate(
        FRAME.model_dump()
        | {"x": {"plus": "fibular", "minus": "tibial"}, "y": {"plus": "anterior", "minus": "posterior"}}
    )

    assert ["fibular", "anterior_fibular", "posterior"] == [Directions.of(leg).of_bearing(one) for one in (0, 45, 270)]
