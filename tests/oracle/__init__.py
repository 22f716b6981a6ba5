"""A second reading of the rules, written from their words alone, to hold the program against."""
