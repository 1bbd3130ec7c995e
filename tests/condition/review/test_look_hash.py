"""How a photograph looks in 64 bits: near for copies of it, far for other pictures."""

from io import BytesIO
from itertools import combinations
from random import Random

import pytest
from PIL import Image, ImageDraw, ImageEnhance

from sites.compute.photographs.look_hash import (
    bits_apart,
    look_hash,
    look_hash_of,
    near_pairs,
    tells_something,
)

NEAR_BITS = 6


def window_picture(seed: int) -> Image.Image:
    """Something like a window: patches of light of every size on a dark wall."""
    random, picture = Random(seed), Image.new("RGB", (640, 480), (30, 30, 34))
    draw = ImageDraw.Draw(picture)
    for _ in range(24):
        x, y = random.randrange(600), random.randrange(440)
        size = (x + random.randrange(30, 240), y + random.randrange(30, 240))
        draw.rectangle(((x, y), size), fill=tuple(random.randrange(40, 256) for _ in range(3)))
    return picture


def saved_again(picture: Image.Image, quality: int = 60) -> Image.Image:
    file = BytesIO()
    picture.save(file, "JPEG", quality=quality)
    return Image.open(BytesIO(file.getvalue()))


@pytest.mark.parametrize("seed", range(6))
def test_a_copy_saved_again_scaled_or_brightened_looks_near(seed):
    picture = window_picture(seed)
    look = look_hash(picture)
    copies = [
        saved_again(picture),
        picture.resize((213, 160)),
        ImageEnhance.Brightness(picture).enhance(1.1),
        saved_again(picture.resize((800, 600)), quality=85),
    ]
    assert max(bits_apart(look, look_hash(copy)) for copy in copies) <= NEAR_BITS


def test_other_pictures_look_far():
    looks = [look_hash(window_picture(seed)) for seed in range(8)]
    assert min(bits_apart(one, other) for one, other in combinations(looks, 2)) > 2 * NEAR_BITS


# Common practice, no published standard: each bit says whether a pixel is darker than the next.
@pytest.mark.parametrize(("falls", "look"), [(False, "f" * 16), (True, "0" * 16)])
def test_each_bit_is_whether_the_light_grows_to_the_right(falls, look):
    ramp = [255 - 25 * x if falls else 25 * x for x in range(9)]
    picture = Image.new("L", (9, 8))
    picture.putdata(ramp * 8)
    assert look_hash(picture) == look


def test_a_look_is_read_from_the_bytes_of_a_copy():
    file = BytesIO()
    window_picture(1).save(file, "JPEG", quality=90)
    assert look_hash_of(file.getvalue()) == look_hash(Image.open(BytesIO(file.getvalue())))


def test_a_picture_of_one_tone_is_like_nothing():
    blank = look_hash(Image.new("RGB", (64, 48), (90, 90, 90)))
    assert not tells_something(blank)
    assert not tells_something("")
    assert near_pairs({"one": blank, "other": blank}, NEAR_BITS) == []


def test_pairs_are_those_within_so_many_bits():
    looks = {"a": "f0f0f0f0f0f0f0f0", "b": "f0f0f0f0f0f0f0f1", "c": "0f0f0f0f0f0f0f0f", "d": ""}
    assert near_pairs(looks, 1) == [("a", "b")]


def test_what_is_no_look_is_refused():
    with pytest.raises(ValueError, match="look"):
        bits_apart("zz", "f" * 16)
