"""What computing came upon, put into words: a message template a rule, filled with the conflict's facts."""
