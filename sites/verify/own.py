"""What this room adds to the list of what is verified."""

from sites.verify import documents, numbers, plan_pictures, triggers
from sites.verify.checks import Check, checks


def register() -> None:
    """Put this room's checks on the list. Done once, as the application starts."""
    checks.extend(
        [
            Check(
                "issued documents",
                documents.issued_documents,
                documents.read_document,
                documents.name_of,
            ),
            Check("series of numbers", numbers.all_series, numbers.read_series),
            Check("database rules", triggers.triggers, triggers.read_trigger, triggers.name_of),
            Check(
                "pictures under plans",
                plan_pictures.plan_pictures,
                plan_pictures.read_plan_picture,
                plan_pictures.name_of,
            ),
        ]
    )
