"""Survey in, findings out: one rule a file, found by scope - cell, section, instrument, batch, result."""
