"""UUIDv7 keys."""

import time

import pytest

from sites.keys import uuid7


@pytest.mark.published("RFC 9562, section 5.7: 48-bit Unix ms, version 7, variant 10")
def test_a_key_is_a_version_7_uuid_of_this_moment():
    before = time.time_ns() // 1_000_000
    key = uuid7()
    after = time.time_ns() // 1_000_000
    assert key.version == 7
    assert key.variant == "specified in RFC 4122"
    assert before <= key.int >> 80 <= after


def test_keys_differ_and_sort_by_the_millisecond_they_were_made():
    first = uuid7()
    time.sleep(0.002)
    later = [uuid7() for _ in range(1000)]
    assert len(set(later)) == 1000
    assert all(first < key for key in later)
