"""The WebRTC voice activity detector that comes with PocketSphinx."""

from assistant.hearing.ear.frames import FRAME_S
from assistant.hearing.ear.speech import IsVoice
from assistant.hearing.engine import RATE_HZ, Sound


def webrtc_voice() -> IsVoice:
    """A detector with a memory of its own, medium strict.

    The looser modes find hardly a frame without a voice once a boil is loud; the strictest misses
    more of clear speech. Raises ImportError where PocketSphinx is not installed.
    """
    from pocketsphinx import Vad

    detector = Vad(Vad.MEDIUM_STRICT, RATE_HZ, FRAME_S)

    def is_voice(frame: Sound) -> bool:
        return bool(detector.is_speech(frame.tobytes()))

    return is_voice


def any_sound(frame: Sound) -> bool:
    """What stands in where there is no detector: everything may be a voice, loudness decides."""
    return frame.size > 0
