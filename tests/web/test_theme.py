"""Every color that a drawing uses is one that the screens know, so none is lost in the dark."""

import re

import pytest
from tests.web.conftest import HOUSE

from roomwright.web.pages import STATIC

CSS = (STATIC / "app.css").read_text(encoding="utf-8")
PAGES = ("", "/room/101", "/room/102", "/room/104", "/room/204", "/room/207", "/orders?show=all",
         "/orders/L011", "/room/101/what-fits")  # fmt: skip


@pytest.mark.parametrize("path", PAGES)
def test_the_theme_knows_the_colors_of_the_drawings(reading, path):
    text = reading.get(HOUSE + path).text
    used = set(re.findall(r'(?:fill|stroke|color)="(#[0-9A-Fa-f]+)"', text))
    assert used
    for name, value in sorted(set(re.findall(r'\b(fill|stroke|color)="(#[0-9A-Fa-f]+)"', text))):
        assert f'.plan [{name}="{value}"], .strip [{name}="{value}"]' in CSS, (name, value)


def test_no_color_outside_the_themes():
    """Rules use the theme's names; hex colors stand only where the themes are defined."""
    body = CSS[
        CSS.index("/* -------------------------------------------------------------------- page") :
    ]
    body = body.replace(
        body[body.index("@media print {") : body.index("@media (forced-colors")], ""
    )
    plain = re.sub(r'\[(fill|stroke|color)="#[0-9A-Fa-f]+"\]', "", body)
    assert re.findall(r"#[0-9A-Fa-f]{3,6}\b", plain) == []


def test_no_other_host_and_no_shadow_or_round_corner():
    assert "http" not in CSS
    assert "box-shadow: none" in CSS or "box-shadow" not in CSS
    assert set(re.findall(r"border-radius: ([^;]+);", CSS)) <= {"0"}
