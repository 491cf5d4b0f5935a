"""Doubts: records that look like a slip, each told with its row and what was probably meant. They stop nothing.

A module for each subject; a rule is a function from the season to its doubts. What witnesses a slip is the season's own
rest, by robust distances, and beside it the rough ranges of the catalogues, which are common practice.
"""
