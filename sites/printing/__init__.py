"""Printing: HTML to a tagged PDF, in a child process of its own."""

from sites.printing.press import Printed, print_pdf

__all__ = ["Printed", "print_pdf"]
