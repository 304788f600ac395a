"""
Files of drawn layers are opened in turn, however many threads there are.

SQLite locks a GeoPackage for other programs, but not within one: the reader of layers brings a SQLite of its own, and
neither of the two sees the locks of the other in the same process (sqlite.org, "How To Corrupt An SQLite Database
File", clause 2.2.1). A reader that came in the midst of a change would take its half-written log for that of a crash.
"""

from threading import RLock

IN_TURN = RLock()
