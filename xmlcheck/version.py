"""The tool's version: of the installed distribution."""

from importlib.metadata import PackageNotFoundError, version

try:
    VERSION = version("xmlcheck")
except PackageNotFoundError:  # used from a bare checkout
    VERSION = "0"
