"""The readings of one section against each other and against what is plausible."""
