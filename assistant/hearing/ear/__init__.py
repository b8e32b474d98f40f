"""The ear: from a microphone, or a recording, to single utterances at 16 kHz."""
