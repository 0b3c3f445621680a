"""A Python that lacks what Windows lacks, on Linux: `sitecustomize` of a process and of all that it starts.

Modules and names that only other systems have are gone, a file that is open can neither be removed nor
written over, a process is given no further file, and text without a named encoding is a fault.

Source: the availability notes in the documentation of Python's os, signal and subprocess.
"""

from __future__ import annotations

import os
from pathlib import Path

CODE = """
import asyncio, importlib.util, os, shutil, signal, socket, subprocess, sys, tempfile, types, warnings
import fcntl, psutil, sysconfig
import IPython.core.interactiveshell, IPython.display  # have code of their own for each system
if importlib.util.find_spec("ipywidgets"):
    import ipywidgets

sysconfig.get_config_vars()
lock = fcntl.flock, fcntl.LOCK_EX | fcntl.LOCK_NB
GONE = ("fcntl", "resource", "pwd", "grp", "termios", "tty", "pty", "syslog")
for name in GONE:
    sys.modules[name] = None
for name in ("fork forkpty killpg setsid getuid geteuid getgid getegid getpgid setpgid sysconf statvfs mkfifo"
             " mknod posix_spawn posix_spawnp uname chown nice O_NOFOLLOW O_NONBLOCK O_NOCTTY").split():
    if hasattr(os, name):
        delattr(os, name)
for name in "SIGXCPU SIGXFSZ SIGKILL SIGALRM SIGHUP SIGQUIT SIGUSR1 SIGUSR2 SIGPIPE SIGCHLD".split():
    delattr(signal, name)


def locking(handle, how, count):
    lock[0](handle, lock[1])


msvcrt = types.ModuleType("msvcrt")
msvcrt.LK_NBLCK, msvcrt.locking = 2, locking
sys.modules["msvcrt"] = msvcrt
sys.platform = "win32"


def is_open(path):
    path = os.path.realpath(path)
    for handle in os.listdir("/proc/self/fd"):
        try:
            there = os.readlink("/proc/self/fd/" + handle)
        except OSError:
            continue
        if there == path or there.startswith(path + "/"):
            return True
    return os.path.basename(path) in os.environ.get("OPEN_ELSEWHERE", "").split("|")


def guarded(real, which):
    def do(*paths, **more):
        for path in (paths[i] for i in which):
            if not more and not isinstance(path, int) and os.path.exists(path) and is_open(path):
                raise PermissionError(13, "The process cannot access the file", str(path))
        return real(*paths, **more)
    return do


os.unlink, os.remove = guarded(os.unlink, (0,)), guarded(os.remove, (0,))
os.replace, os.rename = guarded(os.replace, (0, 1)), guarded(os.rename, (0, 1))

start = subprocess.Popen.__init__


def popen(self, *words, **more):
    assert not more.get("pass_fds") and not more.get("preexec_fn"), "Windows cannot do this"
    start(self, *words, **more)


subprocess.Popen.__init__ = popen
subprocess.Popen.kill = lambda self: self.send_signal(9)
warnings.filterwarnings("error", category=EncodingWarning, module="patternlib")
"""


def surroundings(folder: Path, **more: str) -> dict[str, str]:
    """The environment in which each Python is as on Windows; folder: a new one for its sitecustomize."""
    folder.mkdir()
    (folder / "sitecustomize.py").write_text(CODE, encoding="utf-8")
    root = str(Path(__file__).parent.parent)
    return {
        **os.environ,
        "PYTHONPATH": os.pathsep.join((str(folder), root)),
        "PYTHONWARNDEFAULTENCODING": "1",
        "PYTHONIOENCODING": "cp1252",
        **more,
    }
