"""What can be wrong with the ear, each with the line that says what to do about it."""

from enum import Enum


class Trouble(Enum):
    """Something wrong with the ear, or right again; the value is what to tell the brewer."""

    NO_SOUNDDEVICE = (
        "There is no ear: the Python package sounddevice is missing. Install it with "
        "`pip install sounddevice`, or use the keyboard."
    )
    NO_PORTAUDIO = (
        "There is no ear: the PortAudio library is missing. On Debian and its kin install "
        "libportaudio2, on Fedora portaudio; or use the keyboard."
    )
    NO_VOICE_DETECTOR = (
        "Speech is told from noise by loudness alone: the Python package pocketsphinx is missing. "
        "Install it with `pip install pocketsphinx`."
    )
    NO_MICROPHONE = "There is no microphone. Plug one in, or use the keyboard."
    NO_SUCH_MICROPHONE = (
        "There is no microphone of that name or number. `kettleside check` lists those there are."
    )
    MICROPHONE_REFUSED = (
        "The microphone can't be opened. Another program may hold it, or the system may not allow "
        "its use: look in the sound and privacy settings."
    )
    RATE_REFUSED = (
        "The microphone takes none of the usual sampling rates. Set it to 48000 Hz in the sound "
        "settings, or choose another."
    )
    MICROPHONE_GONE = "The microphone is gone. Plug it in again; until then use the keyboard."
    MICROPHONE_BACK = "The microphone is back."
    MICROPHONE_MUTED = (
        "The microphone gives pure silence. It may be muted, or the system may not allow its use: "
        "look in the sound and privacy settings."
    )
    MICROPHONE_STUCK = (
        "The microphone hangs and can't be closed. Unplug it, or start Kettleside again; until "
        "then use the keyboard."
    )
    OVERFLOW = "Pieces of sound get lost: the computer is too busy. Close other programs."
    TOO_LOUD = "It is too loud to trust my ears. Use short phrases, or the keyboard."
    QUIET_AGAIN = "It is quieter now."
    EAR_FAILED = (
        "The ear has failed, and is started again by itself. Until it works use the keyboard."
    )
    EAR_BACK = "The ear works again."

    @property
    def line(self) -> str:
        """The one plain line for it."""
        return self.value
