"""The text face covers what inscriptions are written in."""

import shutil
from io import BytesIO

import pytest
from fontTools.ttLib import TTFont

from sites import fonts

# Every letter of the alphabets, written out; Latin with the accents of European languages.
LATIN = (
    "ÀÁÂÃÄÅĀĂĄÆÇĆĈĊČĎĐÐÈÉÊËĒĔĖĘĚĜĞĠĢĤĦÌÍÎÏĨĪĮİĴĶĹĽŁÑŃŅŇÒÓÔÕÖØŌŐŒŔŖŘŚŜŞȘŠŢȚŤÙÚÛÜŨŪŬŮŰŲŴẀẂẄÝŶŸŹŻŽÞßıĳ"
)
GREEK = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩάέήίόύώΐΰϊϋςἀἁἐἑἠἡἰἱὀὁὐὑὠὡᾳῃῳ"
CYRILLIC = "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯЂЃЄІЇЈЉЊЋЌЎЏҐ"
FIGURES = "0123456789½¼¾⅛⅜⅝⅞×−–—°€£²³"


@pytest.mark.parametrize("text", [LATIN, GREEK, CYRILLIC, FIGURES])
@pytest.mark.parametrize("code", fonts.FACES.values())
def test_each_face_has_every_letter(code, text):
    covered = TTFont(BytesIO(fonts.font_bytes(code))).getBestCmap()
    both = text + text.lower()
    assert [letter for letter in both if len(letter) == 1 and ord(letter) not in covered] == []


def test_the_screens_fonts_keep_those_letters_and_tabular_figures(settings, tmp_path):
    made = fonts.web_fonts(settings.BUILD_DIR / "fonts")
    # One of them anew, which takes its time: they are all made in the same way.
    for file in made[1:]:
        shutil.copy(file, tmp_path)
    for file in fonts.web_fonts(tmp_path):
        font = TTFont(file)
        covered = font.getBestCmap()
        assert all(ord(letter) in covered for letter in LATIN + GREEK + CYRILLIC + FIGURES)
        features = {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}
        assert "tnum" in features
        assert file.stat().st_size < 120_000


def test_fonts_are_made_once(tmp_path):
    first = [file.stat().st_mtime_ns for file in fonts.print_fonts(tmp_path)]
    assert [file.stat().st_mtime_ns for file in fonts.print_fonts(tmp_path)] == first
