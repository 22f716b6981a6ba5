"""What leaves the deck: panel records and the documents that commands print."""
