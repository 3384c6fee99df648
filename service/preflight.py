"""Says in one sentence what this machine still lacks, before anything is installed. Standard library only."""

import importlib.util
import os
import shutil
import sys
import sysconfig

OLDEST = (3, 11)
TOO_NEW = (3, 13)


def what_is_missing() -> str:
    """One sentence naming the first thing that stops the installation; empty when nothing does."""
    version = ".".join(str(part) for part in sys.version_info[:3])
    if not OLDEST <= sys.version_info[:2] < TOO_NEW:
        return (
            f"warmheap needs Python 3.11 or 3.12, and this is {version}: "
            "run the same command with python3.12 or python3.11 in place of python3."
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


def main() -> int:
    """Print what is missing, if anything; exit code 1 then."""
    missing = what_is_missing()
    if missing:
        print(missing, file=sys.stderr)
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
