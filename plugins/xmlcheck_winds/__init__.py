"""Mechanics that blown instruments and voices share: sizes, fingerings, registers, tonguing, breath, and the rules on them."""
