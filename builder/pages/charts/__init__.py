"""Charts as plain data: which figures are drawn against which; used by pages and by cards."""
