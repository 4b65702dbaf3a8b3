"""Shop aids for one joint: small tools to print or to mill, each checked against the joint that it serves.

`aid` holds the records, `asked` what is asked for, `catalogue` the one table of all aids, `modelling` and `engraving`
what they are made with, `proof` how each is checked, `plates` how they are laid out on a printer's bed; every aid has a
file of its own.
"""
