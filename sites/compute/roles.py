"""What each role may do at a building."""

from typing import Final

# The order is the order of the screens: from reading the register to running the studio.
READ: Final = "read"  # the register, surveys, findings, photographs, issued reports
READ_PEOPLE: Final = "read_people"  # names and contact details of private persons
READ_QUOTES: Final = "read_quotes"  # issued quotes: what the client was told
READ_COSTS: Final = "read_costs"  # rates, hours, margins: the studio's own
EDIT_REGISTER: Final = "edit_register"
SURVEY: Final = "survey"  # surveys, findings, photographs
ISSUE_REPORTS: Final = "issue_reports"
PRICE: Final = "price"  # repair actions, estimates, rate books
ISSUE_QUOTES: Final = "issue_quotes"
RECORD_DECISIONS: Final = "record_decisions"
MANAGE: Final = "manage"  # the studio itself, its people and their roles

ROLES: Final[dict[str, frozenset[str]]] = {
    "owner": frozenset(
        {
            READ,
            READ_PEOPLE,
            READ_QUOTES,
            READ_COSTS,
            EDIT_REGISTER,
            SURVEY,
            ISSUE_REPORTS,
            PRICE,
            ISSUE_QUOTES,
            RECORD_DECISIONS,
            MANAGE,
        }
    ),
    "estimator": frozenset(
        {
            READ,
            READ_PEOPLE,
            READ_QUOTES,
            READ_COSTS,
            EDIT_REGISTER,
            SURVEY,
            ISSUE_REPORTS,
            PRICE,
            ISSUE_QUOTES,
            RECORD_DECISIONS,
        }
    ),
    "surveyor": frozenset({READ, READ_PEOPLE, EDIT_REGISTER, SURVEY}),
    "bench": frozenset({READ}),
    "committee": frozenset({READ, READ_QUOTES}),
    "reader": frozenset({READ}),
}


def roles_that_may(ability: str) -> frozenset[str]:
    """Return the roles that hold `ability`. Raises KeyError for an ability nobody holds."""
    roles = frozenset(role for role, abilities in ROLES.items() if ability in abilities)
    if not roles:
        raise KeyError(f"no role may {ability!r}")
    return roles
