"""Concrete: how much, in what weather, how strong by when, and what it weighs. Pure sums."""
