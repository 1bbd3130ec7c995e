"""What stops a quantity from being reckoned."""


class QuantityError(ValueError):
    """Numbers that cannot belong to one panel; the message says which, and what is possible.

    field: the name of what is to be changed.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
