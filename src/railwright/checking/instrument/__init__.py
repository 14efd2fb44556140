"""The sections of one instrument together."""
