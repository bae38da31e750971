"""The functions that compose the blocks of cards; each module here is found by itself, so no list names it."""
