"""Cautions by their code: the words stand in the reference file, and other tables name the code."""

from django.db import models


class Caution(models.Model):
    """One caution of the reference file."""

    code = models.SlugField(max_length=60, primary_key=True)

    def __str__(self) -> str:
        return self.code
