"""Says in one sentence what this machine still lacks, before anything is installed, or with which flags to build.

Standard library only.
"""

import importlib.util
import os
import shutil
import sys
import sysconfig

OLDEST = (3, 11)
TOO_NEW = (3, 14)
NAME_IS_GONE = (3, 13)
"""From this version on Python no longer has the old name of a call that the rule engine's C code uses."""
OLD_NAME = "-DPyEval_CallObject=PyObject_CallObject"


def what_is_missing() -> str:
    """One sentence naming the first thing that stops the installation; empty when nothing does."""
    version = ".".join(str(part) for part in sys.version_info[:3])
    if not OLDEST <= sys.version_info[:2] < TOO_NEW:
        return (
            f"warmheap needs Python 3.11, 3.12 or 3.13, and this is {version}: "
            "run the same command with python3.13, python3.12 or python3.11 in place of python3."
        )
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        return "Python's venv module is missing: on Debian or Ubuntu, `apt-get install python3-venv`."
    compiler = os.environ.get("CC") or (sysconfig.get_config_var("CC") or "cc")
    if shutil.which(compiler.split()[0]) is None:
        return (
            f"There is no C compiler ({compiler.split()[0]}), and the rules engine is built from source: "
            "on Debian or Ubuntu, `apt-get install gcc python3-dev`."
        )
    header = os.path.join(sysconfig.get_path("include"), "Python.h")
    if not os.path.exists(header):
        return (
            f"Python's header files are missing ({header}), and the rules engine is built from source: "
            "on Debian or Ubuntu, `apt-get install python3-dev`."
        )
    return ""


def build_flags() -> str:
    """What the C preprocessor is told while the rule engine is built: what it is told already, and the old name."""
    told = os.environ.get("CPPFLAGS", "").split()
    if sys.version_info[:2] >= NAME_IS_GONE and OLD_NAME not in told:
        told.append(OLD_NAME)
    return " ".join(told)


def main() -> int:
    """Print the flags to build with; or what is missing, on standard error, with exit code 1."""
    missing = what_is_missing()
    if missing:
        print(missing, file=sys.stderr)
        return 1
    if build_flags():
        print(build_flags())
    return 0


if __name__ == "__main__":
    sys.exit(main())
