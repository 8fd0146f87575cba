"""A study to begin with: a few answers and the tables of data/start in, the texts of a new study's files out."""
