"""From text to sound: how figures are said, the voice, the chimes and the one loudspeaker."""
