"""A draft shown on the drafting table step by step: a lesson's section, or the solution of an exercise."""
