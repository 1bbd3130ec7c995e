"""How much there is in a leaded panel: joints, came, mass, sticks to buy, hands to lift it."""
