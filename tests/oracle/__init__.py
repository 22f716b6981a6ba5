"""A second reading of the formats, written from the page alone, to hold the program against."""
