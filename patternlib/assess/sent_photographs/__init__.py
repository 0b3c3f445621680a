"""Photographs that lie among the hand-ins: looked at in a closed-in process, put together, shown, tapped."""
