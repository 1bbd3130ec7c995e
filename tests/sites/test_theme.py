"""The theme: contrast of its colours, its layers, and nothing inline in a template."""

import re
from itertools import pairwise
from pathlib import Path

import pytest
from django.conf import settings

CSS = settings.BASE_DIR / "static" / "css"
TEMPLATES = settings.BASE_DIR / "templates"
HEX = re.compile(r"(--[\w-]+):\s*#([0-9a-f]{3,6});")
DARK = "@media (prefers-color-scheme: dark)"


def screens() -> list[Path]:
    """The sheets of the screens: documents have sheets of their own."""
    return [sheet for sheet in CSS.rglob("*.css") if "documents" not in sheet.parts]


def tokens(dark: bool) -> dict[str, str]:
    text = (CSS / "tokens.css").read_text()
    light, _, night = text.partition(DARK)
    found = dict(HEX.findall(light))
    return found | dict(HEX.findall(night)) if dark else found


def luminance(colour: str) -> float:
    full = colour if len(colour) == 6 else "".join(figure * 2 for figure in colour)
    parts = [int(full[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.published("W3C, WCAG 2.2, contrast ratio: black on white is 21 : 1")
def test_the_measure_of_contrast_itself():
    assert contrast("000", "ffffff") == pytest.approx(21)


@pytest.mark.published("W3C, WCAG 2.2, 1.4.3 Contrast (Minimum): 4.5 : 1 for text")
@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("ground", ["paper", "paper-sunk", "paper-raised"])
@pytest.mark.parametrize("text", ["ink", "ink-soft", "cobalt", "cobalt-deep", "ruby", "mend"])
def test_text_can_be_read_on_every_ground(dark, ground, text):
    colours = tokens(dark)
    assert contrast(colours[f"--{text}"], colours[f"--{ground}"]) >= 4.5


@pytest.mark.published("W3C, WCAG 2.2, 1.4.3 Contrast (Minimum): 4.5 : 1 for text")
@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        ("on-cobalt", "cobalt"),
        ("on-cobalt", "cobalt-deep"),
        ("ink", "cobalt-wash"),
        ("ink-soft", "cobalt-wash"),
        ("ink", "ruby-wash"),
        ("mend", "mend-wash"),
        ("glass-ink", "glass"),
        ("glass-ink", "glass-hover"),
        ("glass-ink", "glass-chosen"),
        ("metal-ink", "metal"),
        ("metal-ink", "metal-brass"),
        ("metal-ink", "metal-bronze"),
        ("metal-ink", "metal-copper"),
    ],
)
def test_text_can_be_read_on_its_own_ground(dark, text, ground):
    colours = tokens(dark)
    assert contrast(colours[f"--{text}"], colours[f"--{ground}"]) >= 4.5


@pytest.mark.published("W3C, WCAG 2.2, 1.4.11 Non-text Contrast: 3 : 1")
@pytest.mark.parametrize("dark", [False, True])
def test_the_edges_of_boxes_can_be_seen(dark):
    colours = tokens(dark)
    assert contrast(colours["--line-strong"], colours["--paper-raised"]) >= 3
    assert contrast(colours["--sign-mark"], colours["--sign-ground"]) >= 3


def test_the_classes_grow_steadily_in_contrast_to_the_ground():
    for dark in (False, True):
        colours = tokens(dark)
        ramp = [contrast(colours[f"--class-{n}"], colours["--paper"]) for n in (1, 2, 3)]
        assert ramp == sorted(ramp)
        assert all(later / earlier > 1.5 for earlier, later in pairwise(ramp))


def test_colours_stand_in_the_tokens_and_nowhere_else():
    raw = re.compile(r"#[0-9a-f]{3,8}\b|rgba?\(|hsla?\(", re.I)
    assert [s.name for s in screens() if s.name != "tokens.css" and raw.search(s.read_text())] == []


def test_no_sheet_shouts_or_selects_by_id():
    by_id = re.compile(r"^[^@{};/*]*#[a-z][\w-]*[^;{}]*\{", re.I | re.M)
    for sheet in screens():
        text = sheet.read_text()
        assert "!important" not in text, sheet.name
        assert not by_id.search(text), sheet.name


def test_every_sheet_is_imported_once_in_a_layer():
    text = (CSS / "app.css").read_text()
    imported = re.findall(r'@import url\("([^"]+)"\) layer\((\w+)\);', text)
    names = [name for name, _ in imported]
    there = {str(sheet.relative_to(CSS)) for sheet in screens()} - {"app.css"}
    assert len(names) == len(set(names))
    assert set(names) - {"../vendor/bootstrap.min.css"} == there


def test_templates_hold_no_inline_style_or_script():
    inline = re.compile(
        r"\sstyle\s*=|<style|<script(?![^>]*\bsrc=)|\son\w+\s*=|hx-on|javascript:", re.I
    )
    pages = [page for page in TEMPLATES.rglob("*.html") if "documents" not in page.parts]
    assert [page.name for page in pages if inline.search(page.read_text())] == []
