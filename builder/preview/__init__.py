"""A draft kept up to date while its content is written: rounds of building, and a server for this machine alone."""
