"""How a photograph looks in 64 bits: near for copies of it, far for other pictures."""

from io import BytesIO
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageEnhance

from restoration.demo.pictures import subject_of
from sites.compute.photographs.look_hash import (
    bits_apart,
    look_hash,
    look_hash_of,
    near_pairs,
    tells_something,
)
