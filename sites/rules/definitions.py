"""The rules as plain data, whichever engine carries them out."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Frozen:
    """A table whose rows are never changed or deleted once they are in."""

    table: str
    what: str


@dataclass(frozen=True)
class Tracked:
    """A table whose rows are copied to the history before each change.

    `private` columns (personal data) are left out of the copy.
    """

    table: str
    private: tuple[str, ...] = ()


@dataclass(frozen=True)
class Refusal:
    """A row the database refuses: `when` is SQL over NEW, the same on both engines."""

    table: str
    name: str
    when: str
    message: str


@dataclass(frozen=True)
class Rules:
    """All of a project's rules."""

    frozen: tuple[Frozen, ...]
    tracked: tuple[Tracked, ...]
    refusals: tuple[Refusal, ...]

    @property
    def tables(self) -> set[str]:
        rules: tuple[Frozen | Tracked | Refusal, ...]
        rules = (*self.frozen, *self.tracked, *self.refusals)
        return {rule.table for rule in rules}


@dataclass(frozen=True)
class Trigger:
    """One trigger as it is installed: its name, its table, and the statements that make it."""

    name: str
    table: str
    create: tuple[str, ...]


PREFIX = "rule_"
HISTORY_TABLE = "sites_change"


def trigger_name(table: str, purpose: str) -> str:
    """A name PostgreSQL does not cut (63 bytes). Raises ValueError for a longer one."""
    name = f"{PREFIX}{table}_{purpose}"
    if len(name) > 63:
        raise ValueError(f"trigger name {name!r} is longer than 63 bytes")
    return name
