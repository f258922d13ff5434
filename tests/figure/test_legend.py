"""Names of structures as figures have them."""

from wristward.figure.legend import Entry, legend_of


def called(name, latin):
    return Entry(id="x", name=name, short="X", kind="nerve", latin=latin).also_latin


def test_latin_is_shown_beside_a_name_that_is_not_latin(dataset):
    """An English name has its Latin one beside it; a muscle's, a Latin one and a shortened one say it already."""
    assert "nervus medianus" == called("median nerve", "nervus medianus")
    assert "" == called("N. medianus", "nervus medianus")
    assert "" == called("flexor carpi radialis", "musculus flexor carpi radialis")
    assert "" == called("tendo m. flexoris digiti II", "tendo musculi flexoris digiti secundi")
    shown = [entry for entry in legend_of(dataset).values() if entry.kind in ("nerve", "artery", "vein")]
    assert [] == [entry.name for entry in shown if not entry.also_latin]
