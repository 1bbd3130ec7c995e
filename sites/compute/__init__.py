"""Pure computation of the register: values in, values out."""
