"""The maths of progress and form: what the record shows, and how sure that is. Pure, standard library only."""
