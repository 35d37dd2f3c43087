"""Facts: lazy views of a score that rules share. Pure functions of the model; no profile and no rule is known here."""
