"""Sentences of the plan check, English and Spanish, by what they are about."""
