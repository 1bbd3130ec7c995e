"""The working of a computed figure: its formula, its inputs and where each came from."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, get_args

Origin = Literal["measured", "entered", "estimated", "default", "computed"]
ORIGINS: Final[tuple[Origin, ...]] = get_args(Origin)


class WorkingError(ValueError):
    """A kept working that cannot be read back."""


@dataclass(frozen=True)
class Input:
    """One value that went into a figure, as text with its unit, and where it came from."""

    name: str
    value: str
    origin: Origin
    source: str = ""

    def as_dict(self) -> dict[str, str]:
        """Return the input as plain text values, for JSON."""
        return {
            "name": self.name,
            "value": self.value,
            "origin": self.origin,
            "source": self.source,
        }

    @classmethod
    def from_dict(cls, kept: Mapping[str, object]) -> "Input":
        """Return the input that as_dict kept. Raises WorkingError for anything else."""
        origin = _text(kept, "origin")
        if origin not in ORIGINS:
            raise WorkingError(f"an input's origin is one of {', '.join(ORIGINS)}, not {origin!r}")
        return cls(
            name=_text(kept, "name"),
            value=_text(kept, "value"),
            origin=origin,
            source=_text(kept, "source", ""),
        )


@dataclass(frozen=True)
class Working:
    """How a figure was reached: the formula in words, its inputs, the result and a caution."""

    formula: str
    inputs: tuple[Input, ...]
    result: str
    source: str = ""
    caution: str = ""

    def as_dict(self) -> dict[str, object]:
        """Return the working as text values and one list of inputs, for JSON."""
        return {
            "formula": self.formula,
            "inputs": [each.as_dict() for each in self.inputs],
            "result": self.result,
            "source": self.source,
            "caution": self.caution,
        }

    @classmethod
    def from_dict(cls, kept: Mapping[str, object]) -> "Working":
        """Return the working that as_dict kept. Raises WorkingError for anything else."""
        inputs = kept.get("inputs")
        if not isinstance(inputs, list) or not all(isinstance(each, Mapping) for each in inputs):
            raise WorkingError("a working keeps its inputs as a list")
        return cls(
            formula=_text(kept, "formula"),
            inputs=tuple(Input.from_dict(each) for each in inputs),
            result=_text(kept, "result"),
            source=_text(kept, "source", ""),
            caution=_text(kept, "caution", ""),
        )


def _text(kept: Mapping[str, object], name: str, missing: str | None = None) -> str:
    value = kept.get(name, missing)
    if not isinstance(value, str):
        raise WorkingError(f"a working keeps {name!r} as text, not {value!r}")
    return value
