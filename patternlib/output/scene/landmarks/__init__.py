"""Where a tape is laid on a body: one plain figure, its landmarks, the tape's course for each measure."""

from .drawing import landmarks_scene as landmarks_scene
from .drawing import measures_scene as measures_scene
