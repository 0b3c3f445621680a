"""One plain figure: its landmarks, the tape's course for each measure, the signs of a toile."""

from .drawing import landmarks_scene as landmarks_scene
from .drawing import measures_scene as measures_scene
from .dressed import sign_scene as sign_scene
from .dressed import signs_scene as signs_scene
