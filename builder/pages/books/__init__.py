"""The printed books as plain data: which pages stand in each, and the pages made for paper alone."""
