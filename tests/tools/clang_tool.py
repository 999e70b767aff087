"""The clang tools that the checks of the tree rest on, of the one version whose answers they expect."""
import shutil
import subprocess

VERSION = "14"
SKIPPED = 77  # exit code of a check whose tool is missing; CTest counts it as skipped


def find(name):
    """Path of clang-format or clang-tidy of the right version; None where there is none."""
    for candidate in (f"{name}-{VERSION}", name):
        if path := shutil.which(candidate):
            told = subprocess.run([path, "--version"], capture_output=True, text=True, check=True).stdout
            if f"version {VERSION}." in told:
                return path
    return None
