"""What a survey is: its fields, its record, its units, note numbers, and findings about it.

Nothing here reads a file or computes a result; every other package speaks in these words.
"""
