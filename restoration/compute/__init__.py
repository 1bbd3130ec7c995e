"""Pure computation of the work: quantities, prices, programmes."""
