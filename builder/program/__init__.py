"""The typed, frozen program of a site, and the readers that check content into it."""
