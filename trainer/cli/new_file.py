"""Files that a verb writes: never over one that is there, and nothing half written is left."""

import os
from pathlib import Path

from trainer.coach.candidate import CandidateError


def write_new(name: str, content: bytes, *, private: bool = True) -> None:
    """Write a new file.

    Args:
        name: where no file is yet.
        content: all of it.
        private: whether its owner alone may read it, as what names people must be.

    Raises:
        CandidateError: one sentence; a file that was there is left as it is.
    """
    path = Path(name)
    made = False
    try:
        with open(path, "xb", opener=_for_owner if private else None) as file:
            made = True
            file.write(content)
    except FileExistsError:
        raise CandidateError(f"{name} is there already and was left as it is; choose another name.") from None
    except (OSError, ValueError) as error:
        if made:
            path.unlink(missing_ok=True)
        why = getattr(error, "strerror", None) or str(error)
        raise CandidateError(f"{name} cannot be written: {why}. Choose another place.") from None


def _for_owner(name: str, flags: int) -> int:
    return os.open(name, flags, 0o600)
