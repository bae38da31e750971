"""Pages in the site's other languages: the same composers, every run of words looked up by its English text."""
