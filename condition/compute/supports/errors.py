"""What goes wrong where supports are screened."""


class SupportError(ValueError):
    """A record that cannot be reckoned with; the text names what is wrong and what is possible."""
