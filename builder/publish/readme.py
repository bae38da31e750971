"""The note that stands in every built folder; always the same text, so that a rebuild leaves version control clean."""

NAME = "README.md"

FIRST_LINE = "# A built handbook: do not edit"
"""By this line the builder knows a folder again as one of its own."""

TEXT = f"""{FIRST_LINE}

This folder is made by `handbook build` from the site's content. Each build replaces it as a whole, so anything
changed here by hand is lost: change the content and build again.

- **To read it**, open `index.html` in a browser. It needs no server and no network, so it works from this folder,
  from a file share and from a USB stick.
- **To print it**, open a book in `books/`, or the sheets in `cards/`, `labels/` and `forms/`.
- **To hand it to an auditor**, copy the whole folder. `sha256sum -c SHA256SUMS`, run inside it, shows that no listed
  file was changed or lost on the way.
- `revisions/` holds what was released, one folder a revision. A released revision is never changed or deleted; later
  builds carry it over as it is.

This file and `revisions/` are the only parts that belong in version control.
"""
