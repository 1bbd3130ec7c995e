"""Printing: HTML to a tagged PDF, in a child process of its own."""

from sites.printing.press import Attachment, Printed, print_pdf

__all__ = ["Attachment", "Printed", "print_pdf"]
