"""A model that writes down what it hears: how likely each of the things that could be said is."""
