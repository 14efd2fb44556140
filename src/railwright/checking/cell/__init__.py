"""One answer: can it be read, is it there."""
