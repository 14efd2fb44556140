"""The surveys of one folder against each other."""
