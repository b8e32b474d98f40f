"""A second way to hear: the phones of a sound, and the sentence of the grammar they fit best."""
