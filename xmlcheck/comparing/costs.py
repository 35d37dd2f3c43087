"""What a change costs: the measure by which the shortest account is found. Ours, after Mongeau and Sankoff.

Mongeau and Sankoff, "Comparison of musical sequences", Computers and the Humanities 24, 1990, 161-175, weigh pitch and length
apart and let one note stand for several of its pitch; the numbers here are our own. Only their order matters to the account.
"""

from __future__ import annotations

NOTE = 1.0
"""A note put in or taken out."""
PITCH = 1.0
ONSET = 0.5
LENGTH = 0.5
SPELLING = 0.2
STAFF = 0.2
KIND = 1.0
"""An ordinary note that became a cue or grace note, or the reverse."""
FLAG = 0.2
MARK = 0.2
"""A sign, a tie, a syllable, a printed value: put in, taken out or another."""
PIECES = 1.0
"""One note that became several of its pitch, or the reverse."""
BAR = 1.0
"""A bar put in or taken out, its notes not counted."""
PASSAGE = 2.0
"""A passage moved, repeated, transposed or barred otherwise, however long it is."""
EXCEPTION = 1.0
"""A note that stayed as it was in a passage that was transposed."""
STATE = 1.0
"""A meter, key, clef, transposition or tuning, for as long as it is in force."""
IDENTITY = 1.0
"""A name, an instrument, a part put in or taken out or moved."""
