"""Heights in words: one wording for pages, figures, quizzes, exports and commands."""

from wristward.measure.text import band_words, height_words, short_height, span_words


def test_a_height_in_words(dataset):
    """The crease is called by its name, in full where a question stands alone, and what lies beyond it is told."""
    words = dataset.words
    heights = [125, 70.0, 0, -8]

    assert [
        "12.5 cm above the wrist crease",
        "7 cm above the wrist crease",
        "at the wrist crease",
        "0.8 cm beyond the wrist crease",
    ] == [height_words(z_mm, words) for z_mm in heights]
    assert [
        "12.5 cm above the distal wrist crease",
        "7 cm above the distal wrist crease",
        "at the distal wrist crease",
    ] == [height_words(z_mm, words, in_full=True) for z_mm in heights[:3]]
    assert "12.5 cm" == short_height(125, words)


def test_a_stretch_in_words(dataset):
    """A stretch has its lower end first; one that begins at the crease says so."""
    words = dataset.words

    assert "5 to 8.5 cm" == band_words(words, low_mm=50, high_mm=85)
    assert "from 5 to 8.5 cm above the wrist crease" == span_words(words, low_mm=50, high_mm=85)
    assert "from the wrist crease to 8.5 cm above it" == span_words(words, low_mm=0, high_mm=85)
