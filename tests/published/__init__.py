"""Figures that others published, run through the engine.

Every expected figure stands beside its source. Of the books only numbers are taken, never wording. How each is known:

- *printed*: the figure stands in the source, as read in a copy of it;
- *computed here*: worked out here from printed figures, or by algebra, and printed nowhere;
- *from memory*: nobody looked it up; confirm before relying on it;
- *common practice, no source*: what makers do, with no document behind it.

Where a source rounds, the test allows half a unit of the last printed digit and says so; elsewhere a billionth part.
"""
