"""The core: a brew day as a fold over events. ``advance`` decides, everything else carries out."""
