"""The file itself: can it be opened, is it a survey, are its names whole."""
