"""How a photograph looks in 64 bits: near for copies of it, far for other pictures."""

from io import BytesIO
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageEnhance

from restoration.demo.photographs import picture_of
from restoration.demo.scenario import Scenario
from sites.compute.photographs.look_hash import (
    bits_apart,
    look_hash,
    look_hash_of,
    near_pairs,
    tells_something,
)

NEAR = 6
looks = st.integers(0, 2**64 - 1).map(lambda bits: f"{bits:016x}")


@pytest.fixture(scope="module")
def pictures():
    """Four photographs of the invented church that show different things."""
    scenario = Scenario()
    plans = scenario.photographs[::14][:4]
    return [picture_of(plan, scenario).reduce(2) for plan in plans]


def jpeg(picture: Image.Image, quality: int) -> bytes:
    buffer = BytesIO()
    picture.save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def test_each_bit_says_whether_a_pixel_is_darker_than_its_right_neighbour():
    picture = Image.new("L", (9, 8), 100)
    picture.putpixel((8, 0), 200)
    assert look_hash(picture) == "01" + "00" * 7
    picture.putpixel((0, 7), 50)
    assert look_hash(picture) == "01" + "00" * 6 + "80"


def test_a_copy_saved_again_smaller_or_a_little_brighter_is_near(pictures):
    for picture in pictures:
        look = look_hash(picture)
        width, height = picture.size
        assert bits_apart(look, look_hash_of(jpeg(picture, 60))) <= NEAR
        assert bits_apart(look, look_hash(picture.resize((width // 3, height // 3)))) <= NEAR
        assert bits_apart(look, look_hash(ImageEnhance.Brightness(picture).enhance(1.1))) <= NEAR


def test_different_photographs_are_far_apart(pictures):
    for one, other in combinations(map(look_hash, pictures), 2):
        assert bits_apart(one, other) > NEAR


@given(looks, looks, looks)
def test_being_apart_is_a_distance(one, other, third):
    assert bits_apart(one, one) == 0
    assert bits_apart(one, other) == bits_apart(other, one)
    assert bits_apart(one, third) <= bits_apart(one, other) + bits_apart(other, third)


def test_a_picture_of_one_tone_is_like_nothing():
    flat = look_hash(Image.new("RGB", (60, 40), (90, 90, 90)))
    assert not tells_something(flat)
    assert not tells_something("")
    assert near_pairs({1: flat, 2: flat, 3: "", 4: ""}, 64) == []


def test_what_is_no_look_is_refused():
    with pytest.raises(ValueError, match="is not a look"):
        bits_apart("abc", "0" * 16)
