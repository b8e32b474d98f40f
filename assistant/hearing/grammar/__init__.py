"""What can be said at a moment, as data: built from the word tables, written for each engine."""
