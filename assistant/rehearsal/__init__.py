"""A brew day rehearsed: a simulated kettle and a simulated brewer who speaks."""
