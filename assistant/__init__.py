"""Kettleside: an offline, hands-free assistant for the home brewer's day at a single kettle."""

__version__ = "0.1.0"
