"""What is true of any beer: wort, water, heat, hops, colour, yeast and gas, as pure functions."""
