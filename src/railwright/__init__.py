"""From one survey of a grand piano's damper line to a mute rail that fits."""

__version__ = "0.1.0"
