"""What nobody foresaw: the traceback goes to a file, a sentence to the user."""

import traceback

from trainer.paths import HomeError, home, write_private


def keep_traceback(error: BaseException) -> str:
    """Write a traceback to a file and return the sentence that says where it is."""
    text = "".join(traceback.format_exception(error))
    try:
        path = home().crash
        write_private(path, text.encode("utf-8", "backslashreplace"), settled=False)
    except HomeError as why:
        return f"What happened could not be written down either: {why}"
    except OSError as why:
        return f"What happened could not be written down either ({why.strerror})."
    return f"Every answer given is in the record. What happened is written down in {path}; send it to the maintainers."
