"""
The desk: a local page for people who never open a terminal.

It computes nothing of its own: each page asks the same functions as the commands and arranges what they give.
"""
