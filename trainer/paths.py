"""Where things are kept: the only file that knows.

Everything the program keeps lies under one folder: `STEPCALL_HOME` if it is set, else the user's data folder as
the system has it. Shipped decks and the invented unit lie in the package, or beside it in a checkout.
"""

import os
from pathlib import Path
from typing import NamedTuple

HOME_VARIABLE = "STEPCALL_HOME"
PACKAGE = Path(__file__).resolve().parent


class Home(NamedTuple):
    """The folder under which everything is kept; nothing in it is made before it is needed.

    `decks_from` is where checked decks are cached if not here: a throw-away copy shares those of the user.
    """

    root: Path
    decks_from: Path | None = None

    @property
    def records(self) -> Path:
        """One record file a candidate."""
        return self.root / "records"

    @property
    def backups(self) -> Path:
        """Copies of record files, some generations each."""
        return self.root / "backups"

    @property
    def cache(self) -> Path:
        """What can be made again at any time."""
        return self.root / "cache"

    @property
    def checked_decks(self) -> Path:
        """Decks that have passed their checks, by content."""
        return (self.decks_from or self.root) / "cache" / "decks"

    @property
    def device(self) -> Path:
        """The id of this laptop, kept outside the records so that a copied record does not carry it."""
        return self.root / "device"

    @property
    def here(self) -> Path:
        """Who used this laptop last, and how the screen is to look."""
        return self.root / "here.json"

    @property
    def evenings(self) -> Path:
        """One file for every evening of a study group."""
        return self.root / "evenings"

    def record(self, candidate: str) -> Path:
        """The record file of a candidate."""
        return self.records / f"{candidate}.db"


def home(environ: os._Environ[str] | dict[str, str] = os.environ) -> Home:
    """Return where this user's things are kept."""
    named = environ.get(HOME_VARIABLE)
    if named:
        return Home(Path(named).expanduser().absolute())
    from platformdirs import user_data_path  # only here: most calls of a script set the variable

    return Home(user_data_path("stepcall", appauthor=False, roaming=False))


def shipped_decks() -> Path:
    """Return the folder of the decks that come with the program."""
    return _shipped("decks")


def demo_histories() -> Path:
    """Return the file of the invented unit's histories."""
    return _shipped("demo_data") / "histories.json"


def _shipped(name: str) -> Path:
    packaged = PACKAGE / "shipped" / name
    return packaged if packaged.is_dir() else PACKAGE.parent / name
