"""Where things are kept, and how a file is written: the only file that knows.

Everything the program keeps lies under one folder: `STEPCALL_HOME` if it is set, else the user's data folder as
the system has it. Shipped decks and the invented unit lie in the package, or beside it in a checkout.
"""

import errno
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

HOME_VARIABLE = "STEPCALL_HOME"
PACKAGE = Path(__file__).resolve().parent


class HomeError(Exception):
    """The folder for everything cannot be found; the message is one sentence."""


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

    def standings(self, candidate: str) -> Path:
        """What was folded from the record of a candidate; a folder for each, so that it goes when he goes."""
        return self.cache / "standing" / candidate

    @property
    def checked_decks(self) -> Path:
        """Decks that have passed their checks, by content."""
        return (self.decks_from or self.root) / "cache" / "decks"

    @property
    def device(self) -> Path:
        """The id of this laptop, kept outside the records so that a copied record does not carry it."""
        return self.root / "device"

    @property
    def device_key(self) -> Path:
        """The key with which this laptop signs packets, outside the records likewise."""
        return self.root / "device-key"

    @property
    def accepted_keys(self) -> Path:
        """Keys of other laptops whose packets are taken."""
        return self.root / "accepted-keys.json"

    @property
    def graders(self) -> Path:
        """Who may grade, and until when."""
        return self.root / "graders.json"

    @property
    def crash(self) -> Path:
        """What went wrong last and nobody foresaw; it may hold what was on the screen, names too."""
        return self.root / "crash.txt"

    @property
    def here(self) -> Path:
        """Who used this laptop last, and how the screen is to look."""
        return self.root / "here.json"

    @property
    def evenings(self) -> Path:
        """One file for every evening of a study group."""
        return self.root / "evenings"

    @property
    def packets(self) -> Path:
        """Packets that a study group's evening was handed over in, until their owners fetch them."""
        return self.root / "packets"

    def record(self, candidate: str) -> Path:
        """The record file of a candidate."""
        return self.records / f"{candidate}.db"


def home(environ: os._Environ[str] | dict[str, str] = os.environ) -> Home:
    """Return where this user's things are kept.

    Raises:
        HomeError: if the variable names a folder that cannot be found.
    """
    named = environ.get(HOME_VARIABLE)
    if named:
        folder = os.path.expanduser(named)
        if folder.startswith("~"):
            raise HomeError(f"{HOME_VARIABLE} is '{named}', but no such user is known here; give a whole path.")
        try:
            return Home(Path(folder).absolute())
        except OSError as error:
            raise HomeError(
                f"{HOME_VARIABLE} is '{named}', seen from a folder that is gone ({error.strerror}); give a whole path."
            ) from error
    from platformdirs import user_data_path  # only here: most calls of a script set the variable

    return Home(user_data_path("stepcall", appauthor=False, roaming=False))


def private_folder(path: Path) -> None:
    """Make a folder, if it is not there, that only its owner may look into; so are those above it that are made.

    Raises:
        OSError: if it cannot be made.
    """
    for folder in (*reversed(path.parents), path):
        if not folder.is_dir():
            folder.mkdir(mode=0o700, exist_ok=True)


def write_private(path: Path, content: bytes, *, settled: bool = True) -> None:
    """Write a small file for its owner only, its folder too if it is not there, in the place of what was there.

    Arguments and errors are those of `write_whole`.
    """
    private_folder(path.parent)
    write_whole(path, content, settled=settled)


def write_whole(path: Path, content: bytes, *, private: bool = True, over: bool = True, settled: bool = True) -> None:
    """Write a file whole or not at all: a reader finds the old content or the new, never half of it.

    Args:
        path: the file; its folder exists.
        content: all of it.
        private: whether its owner alone may read it, as what names people must be.
        over: whether it may take the place of a file that is there.
        settled: whether it outlives a power cut right after, as far as the disk can promise it; not worth the time for
            what can be made again.

    Raises:
        FileExistsError: if there is something already and it must stay.
        OSError: if it cannot be written; then everything is as it was, but for a name that the disk failed to settle.
        ValueError: if there can be no such path.
    """
    # A name of its own, short enough where that of the file is as long as names may be.
    draft = path.parent / f".{os.getpid()}-{os.urandom(4).hex()}.new"
    if not over and os.path.lexists(path):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
    try:
        flags = os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0)
        with open(os.open(draft, flags, 0o600 if private else 0o666), "wb") as file:
            file.write(content)
            file.flush()
            if settled:
                os.fsync(file.fileno())
        if over or not _linked(draft, path):
            os.replace(draft, path)
        if settled:
            _settle_names(path.parent)
    except BaseException:
        with suppress(OSError, ValueError):  # the medium is gone, or the name was never one
            draft.unlink(missing_ok=True)
        raise


def _linked(draft: Path, path: Path) -> bool:
    """Give a draft its name only if nothing has it by now; return False where the disk knows no second names."""
    try:
        os.link(draft, path)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        return False
    draft.unlink()
    return True


def _settle_names(folder: Path) -> None:
    """Settle the names in a folder where that can be: not on Windows, some shares, a folder one may not read."""
    if os.name == "nt":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EACCES):
            raise


def why(error: OSError | ValueError) -> str:
    """Return what the system says of an error, without number and path, to be put into a sentence."""
    return getattr(error, "strerror", None) or str(error)


def surroundings() -> Mapping[str, str]:
    """Return the environment variables, for whoever must know which terminal this is."""
    return dict(os.environ)


def shipped_decks() -> Path:
    """Return the folder of the decks that come with the program."""
    return _shipped("decks")


def demo_histories() -> Path:
    """Return the file of the invented unit's histories."""
    return _shipped("demo_data") / "histories.json"


def _shipped(name: str) -> Path:
    packaged = PACKAGE / "shipped" / name
    return packaged if packaged.is_dir() else PACKAGE.parent / name
