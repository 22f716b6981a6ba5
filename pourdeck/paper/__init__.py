"""Make what leaves the deck: panel records, and the pages and documents that commands print."""
