"""Letters to engrave: every one sound, printable and of its height."""

import pytest

from geometry.parts.lettering import STROKES, straight_text


def test_every_letter_is_one_sound_shape_of_its_height():
    for letter in STROKES:
        if letter not in " -.":
            shape = straight_text(letter, 4e-3)
            assert shape.geom_type == "Polygon", letter
            assert shape.is_valid
            assert shape.bounds[3] - shape.bounds[1] == pytest.approx(4e-3, rel=5e-3), letter
    assert len(straight_text("B", 4e-3).interiors) == 2
    with pytest.raises(ValueError, match="was 'é'"):
        straight_text("é", 4e-3)
