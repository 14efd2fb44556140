"""One thin module a command: parse, call, report."""
