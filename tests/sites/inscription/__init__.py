"""Tests of the words of plaques: layout, legibility, names and what a proof stands for."""
