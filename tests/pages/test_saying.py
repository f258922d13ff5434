"""Heights as pages word them."""

from wristward.pages.saying import Heights


def test_heights_on_a_page(dataset):
    """On pages the elbow crease is called by its name too, and a range runs down the drawn arm and not beyond it."""
    heights = Heights(dataset.words, top_z_mm=260)

    assert [
        "at the elbow crease, 26 cm above the wrist crease",
        "25.9 cm above the wrist crease",
        "at the wrist crease",
        "1 cm beyond the wrist crease, in the hand",
    ] == [heights.at(z_mm) for z_mm in (260, 259, 0, -10)]
    assert "26 to 0 cm above the wrist crease" == heights.between(-10, 300)
