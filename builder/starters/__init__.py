"""Small content folders to begin with: cautious values for a trade, each to be confirmed by somebody at the site."""
