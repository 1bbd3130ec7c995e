"""A survey read through before its report: photographs sorted, alike ones, what is open."""
