"""Plain data to HTML, SVG and PDF bytes; the only place that knows markup."""
