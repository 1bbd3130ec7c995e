"""Pure computation of what was seen and what it means: no Django, no clock, no database."""
