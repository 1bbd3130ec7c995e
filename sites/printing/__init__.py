"""Printing: HTML to a tagged PDF, in a child process of its own."""

from sites.printing.press import Inside, Printed, print_pdf

__all__ = ["Inside", "Printed", "print_pdf"]
