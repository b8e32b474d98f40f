"""What happened on each brew day, kept where a power cut can't reach it."""
