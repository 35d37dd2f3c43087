"""What a player's copy says besides the plans: heads, signs, technique terms, and numbers under the notes.

Eats the original music and the report; knows no rule and no instrument. All of it is words to be inserted, nothing is changed.
"""
