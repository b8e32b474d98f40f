"""Speech and noise for measuring the hearing: synthesised voices, made noises, things to say.

Import it with ``tests/`` on the path, as pytest has it: ``from speech.voices import render``.
"""
