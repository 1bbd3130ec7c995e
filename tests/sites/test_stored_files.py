"""Files stored before their rows go again when the rows never come."""

from io import BytesIO

import pytest
from django.core.files.storage import FileSystemStorage

from sites.services.stored_files import kept_only_on_success


@pytest.fixture
def storage(tmp_path):
    return FileSystemStorage(tmp_path)


def names(storage) -> list[str]:
    return sorted(storage.listdir("")[1])


def test_files_of_a_change_that_succeeds_stay(storage):
    with kept_only_on_success() as stored:
        name = stored.save(storage, "one.txt", BytesIO(b"one"))
    assert names(storage) == [name] == ["one.txt"]


@pytest.mark.parametrize("failure", [ValueError, KeyboardInterrupt])
def test_files_of_a_change_that_fails_go_and_those_of_others_stay(storage, failure):
    storage.save("one.txt", BytesIO(b"there before"))
    with pytest.raises(failure):
        store_two_and_fail(storage, failure)
    assert names(storage) == ["one.txt"]
    with storage.open("one.txt") as file:
        assert file.read() == b"there before"


def test_a_part_of_a_file_left_by_a_full_disk_goes_too(storage, monkeypatch):
    def fill_up(name: str, content: object) -> str:
        (storage.base_location / name).write_bytes(b"a part")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(storage, "_save", fill_up)
    with pytest.raises(OSError, match="No space"):
        store_two_and_fail(storage, ValueError)
    assert names(storage) == []


def store_two_and_fail(storage, failure: type[BaseException]) -> None:
    with kept_only_on_success() as stored:
        stored.save(storage, "one.txt", BytesIO(b"1"))
        stored.save(storage, "two.txt", BytesIO(b"2"))
        raise failure


def test_a_file_that_cannot_be_taken_away_does_not_keep_the_others(storage, monkeypatch, caplog):
    delete = storage.delete

    def refuse_two(name: str) -> None:
        if name == "two.txt":
            raise PermissionError(name)
        delete(name)

    monkeypatch.setattr(storage, "delete", refuse_two)
    with pytest.raises(ValueError):  # noqa: PT011 (it is the one raised on purpose)
        store_two_and_fail(storage, ValueError)
    assert names(storage) == ["two.txt"]
    assert "two.txt could not be taken away" in caplog.text
