"""What is fitted into a box beside its dovetails: parts that no dovetail holds, and what is cut from boards for them.
Each file is one kind of fitting; `every.py` has them all."""
