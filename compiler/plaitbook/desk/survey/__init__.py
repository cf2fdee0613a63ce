"""A whole book compiled: every look for every wearer, one row of figures each."""
