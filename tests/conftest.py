"""The tests see the course's own exercises only, whatever a teacher keeps beside the course."""

import os

os.environ["PATTERNLIB_OWN_EXERCISES"] = ""
