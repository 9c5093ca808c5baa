"""Money: what is earned, billed and paid, by builder and by crew."""
