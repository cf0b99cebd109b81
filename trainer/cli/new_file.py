"""Files that a verb writes: never over one that is there, and nothing half written is left."""

from pathlib import Path

from trainer.coach.candidate import CandidateError


def write_new(name: str, content: bytes) -> None:
    """Write a new file.

    Raises:
        CandidateError: one sentence; a file that was there is left as it is.
    """
    path = Path(name)
    made = False
    try:
        with path.open("xb") as file:
            made = True
            file.write(content)
    except FileExistsError:
        raise CandidateError(f"{name} is there already and was left as it is; choose another name.") from None
    except (OSError, ValueError) as error:
        if made:
            path.unlink(missing_ok=True)
        why = getattr(error, "strerror", None) or str(error)
        raise CandidateError(f"{name} cannot be written: {why}. Choose another place.") from None
