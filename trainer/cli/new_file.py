"""Files that a verb writes: never over one that is there, and nothing half written is left."""

from pathlib import Path

from trainer.coach.candidate import CandidateError
from trainer.paths import why, write_whole
from trainer.plain import visible


def write_new(name: str, content: bytes, *, private: bool = True) -> None:
    """Write a new file.

    Args:
        name: where no file is yet.
        content: all of it.
        private: whether its owner alone may read it, as what names people must be.

    Raises:
        CandidateError: one sentence; a file that was there is left as it is.
    """
    try:
        write_whole(Path(name), content, private=private, over=False)
    except FileExistsError:
        raise CandidateError(f"{visible(name)} is there already and was left as it is; choose another name.") from None
    except (OSError, ValueError) as error:
        raise CandidateError(f"{visible(name)} cannot be written: {why(error)}. Choose another place.") from None
