"""The shipped face: unchanged files, and widths that a real font engine agrees with."""

import hashlib
import json

import pytest
import typst

from roomwright.drawing import typeface

WORDS = ["13'-6\"", "3'-6 9/16\"", "dining table 84 × 42", "Müller & Söhne", "0123456789", "½ ¼ ¾"]


def test_files_are_those_that_were_checked():
    told = (typeface.FONTS / "SHA256SUMS").read_text().split()
    sums = dict(zip(told[1::2], told[::2], strict=True))
    assert len(sums) == 5
    for name, digest in sums.items():
        assert hashlib.sha256((typeface.FONTS / name).read_bytes()).hexdigest() == digest, name


def measured(words, bold):
    """Width of a line in the face as the typesetter sets it, per unit of text size."""
    source = f"""
        #set text(font: "Overpass", size: 1000pt, weight: {700 if bold else 400})
        #context [#metadata(measure(text({json.dumps(words, ensure_ascii=False)})).width) <w>]
    """
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(typeface.FONTS)]
    )
    found = typst.query(source.encode(), "<w>", field="value", font_paths=fonts)
    return float(json.loads(found)[0].removesuffix("pt")) / 1000


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("words", WORDS)
def test_width_is_what_the_typesetter_sets(words, bold):
    kerned = measured(words, bold)
    ours = typeface.width(words, 1.0, bold)
    # the typesetter kerns pairs, we do not: its line is narrower by a little
    assert kerned - 0.004 * len(words) <= ours <= kerned + 0.04 * len(words)


def test_unknown_characters_have_a_width():
    assert typeface.width("語", 10) > 0


def test_a_long_line_is_cut_to_its_room():
    cut = typeface.fit("Upper hall + stair well", 17, 90)
    assert cut.endswith("…")
    assert typeface.width(cut, 17) <= 90
