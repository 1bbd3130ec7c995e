"""The two badges as paths: the quarry of a class, and the general warning sign (ISO 7010, W001)."""

from typing import Final

# A quarry is 14 wide and 18 high; it fills from the foot by thirds of its height.
QUARRY_BOX: Final = (14.0, 18.0)
QUARRY_FILLS: Final = {
    0: "M0 0",
    1: "M7 18 11.667 12H2.333Z",
    2: "M7 18 14 9 11.667 6H2.333L0 9Z",
    3: "M7 0 14 9 7 18 0 9Z",
}
QUARRY_EDGE: Final = "M7 1 13.2 9 7 17 .8 9Z"

SIGN_BOX: Final = (32.0, 28.0)
SIGN_GROUND: Final = "M16 2 30.3 26.7H1.7Z"
SIGN_STROKE: Final = "M14.1 9.2h3.8l-.7 9.3h-2.4Z"
# Its middle and its radius.
SIGN_DOT: Final = ("16", "22.1", "1.9")
